import type { Mat } from './opencv-types.ts';
import type { Vision } from './opencv.ts';

/** A single-channel float matrix holding a copy of `plane`; the caller deletes it (`using`). */
function floatMat({ cv }: Vision, plane: Float32Array, width: number, height: number): Mat {
  const mat = new cv.Mat(height, width, cv.CV_32FC1);
  mat.data32F.set(plane);
  return mat;
}

/** A single-channel byte matrix holding a copy of `plane`; the caller deletes it (`using`). */
function byteMat({ cv }: Vision, plane: Uint8Array, width: number, height: number): Mat {
  const mat = new cv.Mat(height, width, cv.CV_8UC1);
  mat.data.set(plane);
  return mat;
}

/** The least or the largest value in each pixel's neighbourhood; the caller deletes it (`using`). */
function extremes(
  vision: Vision,
  source: Mat,
  which: 'erode' | 'dilate',
  shape: 'MORPH_RECT' | 'MORPH_ELLIPSE',
  radius: number,
): Mat {
  const { cv } = vision;
  const side = 2 * radius + 1;
  using kernel = cv.getStructuringElement(cv[shape], { width: side, height: side });
  const target = new cv.Mat();
  cv[which](source, target, kernel);
  return target;
}

/** Median over 5 x 5 pixels: thin grain and ruled lines vanish, edges and corners stay. */
export function median5(vision: Vision, plane: Float32Array, width: number, height: number): Float32Array {
  using source = floatMat(vision, plane, width, height);
  using target = new vision.cv.Mat();
  vision.cv.medianBlur(source, target, 5);
  return target.data32F.slice();
}

/** Pixels of `mask` (0/1) whose square neighbourhood of `radius` lies wholly in it. */
export function erode(
  vision: Vision,
  mask: Uint8Array,
  width: number,
  height: number,
  radius: number,
): Uint8Array {
  using source = byteMat(vision, mask, width, height);
  using target = extremes(vision, source, 'erode', 'MORPH_RECT', radius);
  return target.data.slice();
}

/** 4-connected components of `mask` (0/1): label 0 is outside, others 1..count-1. */
export function components(
  vision: Vision,
  mask: Uint8Array,
  width: number,
  height: number,
): { readonly labels: Int32Array; readonly count: number } {
  using source = byteMat(vision, mask, width, height);
  using target = new vision.cv.Mat();
  const count = vision.cv.connectedComponents(source, target, 4);
  return { labels: target.data32S.slice(), count };
}

/** Pixels of `mask` (0/1) or within `radius` of one (a disc). */
export function dilate(
  vision: Vision,
  mask: Uint8Array,
  width: number,
  height: number,
  radius: number,
): Uint8Array {
  using source = byteMat(vision, mask, width, height);
  using target = extremes(vision, source, 'dilate', 'MORPH_ELLIPSE', radius);
  return target.data.slice();
}

/** Largest value within a square of `radius` round each pixel. */
export function localMaxima(
  vision: Vision,
  plane: Float32Array,
  width: number,
  height: number,
  radius: number,
): Float32Array {
  using source = floatMat(vision, plane, width, height);
  using target = extremes(vision, source, 'dilate', 'MORPH_RECT', radius);
  return target.data32F.slice();
}

/** Distance of each pixel of `mask` (0/1) from the nearest one outside it, px; 0 outside. */
export function depthInMask(vision: Vision, mask: Uint8Array, width: number, height: number): Float32Array {
  const { cv } = vision;
  using source = byteMat(vision, mask, width, height);
  using target = new cv.Mat();
  cv.distanceTransform(source, target, cv.DIST_L2, 5);
  return target.data32F.slice();
}
