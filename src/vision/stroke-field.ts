import type { Mat } from './opencv-types.ts';
import type { Vision } from './opencv.ts';
import { LINEAR_FROM_SRGB, type Raster } from './raster.ts';

/**
 * How much darker each pixel of the reduced photo is than the paper beside it.
 * Reduced pixel n covers photo pixels n * block .. n * block + block - 1.
 */
export interface StrokeField {
  readonly width: number;
  readonly height: number;
  readonly block: number;
  /** Share of the paper's light that is missing, 0..1; what noise alone leaves is taken off. */
  readonly darkness: Float32Array;
  /** Spread (one sigma) of `darkness` on bare paper. */
  readonly noise: number;
}

/** Light that counts as black, so that the noise of dark tables stays small in logarithms. */
const DARK_FLOOR = 0.004;
const LOG_STEPS = 65535 / Math.log((1 + DARK_FLOOR) / DARK_FLOOR);
/** Logarithm of linear light in 16-bit steps, by sRGB byte: opencv's morphology is quick in whole numbers. */
const LOG_OF_SRGB = LINEAR_FROM_SRGB.map((light) =>
  Math.round(LOG_STEPS * Math.log((light + DARK_FLOOR) / DARK_FLOOR)),
);
/** Blur before looking for strokes, reduced px. */
const BLUR_PX = 0.8;

/** The photo reduced by whole blocks, upright bytes as before. */
function reduced({ cv }: Vision, photo: Raster, block: number): Mat {
  using whole = new cv.Mat(photo.height, photo.width, cv.CV_8UC4);
  whole.data.set(photo.data);
  const small = new cv.Mat();
  const size = { width: Math.floor(photo.width / block), height: Math.floor(photo.height / block) };
  cv.resize(whole, small, size, 0, 0, cv.INTER_AREA);
  return small;
}

/** Mean logarithm of the three channels' light, in 16-bit steps. */
function logLight({ cv }: Vision, small: Mat): Mat {
  const log = new cv.Mat(small.rows, small.cols, cv.CV_16UC1);
  const from = small.data;
  const to = log.data16U;
  for (let i = 0, at = 0; i < to.length; i++, at += 4) {
    to[i] = (LOG_OF_SRGB[from[at]!]! + LOG_OF_SRGB[from[at + 1]!]! + LOG_OF_SRGB[from[at + 2]!]!) / 3;
  }
  return log;
}

/** Every dark place narrower than `sidePx` takes the light beside it (closing, Serra 1982; from memory). */
function closed({ cv }: Vision, picture: Mat, sidePx: number): Mat {
  using kernel = cv.getStructuringElement(cv.MORPH_RECT, { width: sidePx, height: sidePx });
  using bright = new cv.Mat();
  cv.dilate(picture, bright, kernel);
  const result = new cv.Mat();
  cv.erode(bright, result, kernel);
  return result;
}

/** Middle value and spread (one sigma, from the quartile below it, where no stroke lies) of every n-th value. */
function middleAndSpread(values: Float32Array): { readonly middle: number; readonly sigma: number } {
  const step = Math.max(1, Math.floor(values.length / 50_000));
  const some = Float32Array.from({ length: Math.floor(values.length / step) }, (_, i) => values[i * step]!);
  some.sort();
  const middle = some[some.length >> 1]!;
  return { middle, sigma: (middle - some[some.length >> 2]!) / 0.6745 };
}

/**
 * Looks for dark strokes up to `widestPx` wide (photo px) on lighter ground, in a photo reduced by `block`. Uneven
 * light and broad smudges fall out: a stroke is dark against what lies beside it.
 */
export function strokeField(vision: Vision, photo: Raster, block: number, widestPx: number): StrokeField {
  const { cv } = vision;
  using small = reduced(vision, photo, block);
  const side = 2 * Math.ceil(widestPx / block / 2) + 1;
  using log = logLight(vision, small);
  using smooth = new cv.Mat();
  cv.GaussianBlur(log, smooth, { width: 0, height: 0 }, BLUR_PX);
  using filled = closed(vision, smooth, side);
  using ground = new cv.Mat();
  // The closing takes the brightest specks; their mean over a stroke's width is the paper.
  cv.GaussianBlur(filled, ground, { width: 0, height: 0 }, side / 4);
  const [a, b] = [ground.data16U, smooth.data16U];
  const missing = new Float32Array(a.length);
  for (let i = 0; i < missing.length; i++) missing[i] = (a[i]! - b[i]!) / LOG_STEPS;
  const { middle, sigma } = middleAndSpread(missing);
  for (let i = 0; i < missing.length; i++) missing[i] = 1 - Math.exp(-Math.max(0, missing[i]! - middle));
  return {
    width: small.cols,
    height: small.rows,
    block,
    darkness: missing,
    noise: sigma,
  };
}
