import { components, depthInMask, dilate, erode, localMaxima } from '../../vision/mats.ts';
import type { Vision } from '../../vision/opencv.ts';
import type { StrokeField } from '../../vision/stroke-field.ts';

/** A pixel belongs to a stroke when it is this dark against the darkest one next to it. */
const SHARE_OF_PEAK = 0.35;
/** A stroke must somewhere be as dark as asked for; its pixels may be fainter, by this factor. */
export const WEAK_SHARE = 0.6;
/** What noise alone may reach, in sigma. */
const CLEAR_OF_NOISE = 5;
/** Paper enclosed by strokes is filled when it is nowhere wider than this, mm: a line drawn twice is one line. */
const DOUBLE_STROKE_MM = 1.3;
/** Grain leaves holes and nicks of this size, mm. */
const GRAIN_MM = 0.3;

/** Fills the holes of the mask that are nowhere wider than `widestPx`. */
function fillSlits(vision: Vision, mask: Uint8Array, width: number, height: number, widestPx: number): void {
  const paper = mask.map((on) => 1 - on);
  const { labels, count } = components(vision, paper, width, height);
  const depth = depthInMask(vision, paper, width, height);
  const deepest = new Float32Array(count);
  for (let at = 0; at < labels.length; at++) {
    const label = labels[at]!;
    if (depth[at]! > deepest[label]!) deepest[label] = depth[at]!;
  }
  for (let at = 0; at < labels.length; at++) {
    if (labels[at]! > 0 && 2 * deepest[labels[at]!]! - 1 <= widestPx) mask[at] = 1;
  }
}

/** Keeps the connected parts of the mask that hold a pixel as dark as asked for. */
function keepDark(
  vision: Vision,
  mask: Uint8Array,
  { width, height, darkness }: StrokeField,
  least: number,
): void {
  // Diagonal neighbours belong together: the mask is grown by a pixel before its parts are told apart.
  const { labels, count } = components(vision, dilate(vision, mask, width, height, 1), width, height);
  const dark = new Uint32Array(count);
  for (let at = 0; at < mask.length; at++) if (mask[at] && darkness[at]! >= least) dark[labels[at]!]! += 1;
  for (let at = 0; at < mask.length; at++) if (mask[at] && dark[labels[at]!]! < 3) mask[at] = 0;
}

/**
 * The pixels of the drawn strokes (0/1) within `area`: darker than their surroundings by the asked-for share of the
 * paper's light, which printed squares and rubbed-out lines seldom do. Grain is closed, and a line drawn twice is one
 * broad line.
 */
export function strokeMask(
  vision: Vision,
  field: StrokeField,
  area: Uint8Array,
  leastDarkness: number,
  pxPerMm: number,
): Uint8Array {
  const { width, height, darkness, noise } = field;
  const least = Math.max(leastDarkness, CLEAR_OF_NOISE * noise);
  const peaks = localMaxima(vision, darkness, width, height, Math.max(2, Math.round(0.8 * pxPerMm)));
  const found = new Uint8Array(width * height);
  for (let at = 0; at < found.length; at++) {
    const here = darkness[at]!;
    if (area[at] && here >= WEAK_SHARE * least && here >= SHARE_OF_PEAK * peaks[at]!) found[at] = 1;
  }
  keepDark(vision, found, field, least);
  const grainPx = Math.max(1, Math.round(GRAIN_MM * pxPerMm));
  // Closing: grown by a disc, then shrunk by a square inside it.
  const mask = erode(vision, dilate(vision, found, width, height, grainPx), width, height, grainPx);
  for (let at = 0; at < mask.length; at++) if (found[at]) mask[at] = 1;
  fillSlits(vision, mask, width, height, DOUBLE_STROKE_MM * pxPerMm);
  clearBorder(mask, width, height);
  return mask;
}

function clearBorder(mask: Uint8Array, width: number, height: number): void {
  mask.fill(0, 0, width);
  mask.fill(0, (height - 1) * width);
  for (let row = 0; row < height; row++) {
    mask[row * width] = 0;
    mask[(row + 1) * width - 1] = 0;
  }
}
