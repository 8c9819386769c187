/** The photo as seen from straight above: made only for looking at, never for measuring. */
import type { Bounds } from '../geometry/measure.ts';
import type { Raster } from '../vision/raster.ts';
import { type Camera, planeToImage } from './camera.ts';

/** Image places are computed at every so many pixels and interpolated between. */
const GRID_PX = 16;
/** Larger pictures help nobody and fill the memory. */
const MOST_PIXELS = 40e6;

/** Four channels between four neighbouring pixels. */
function sampleInto(photo: Raster, u: number, v: number, into: Uint8ClampedArray, at: number): void {
  const column = Math.floor(u);
  const row = Math.floor(v);
  if (!(column >= 0 && row >= 0 && column + 1 < photo.width && row + 1 < photo.height)) return;
  const [a, b] = [u - column, v - row];
  const from = (row * photo.width + column) * 4;
  const below = from + photo.width * 4;
  const { data } = photo;
  for (let k = 0; k < 3; k++) {
    const upper = data[from + k]! + a * (data[from + 4 + k]! - data[from + k]!);
    const lower = data[below + k]! + a * (data[below + 4 + k]! - data[below + k]!);
    into[at + k] = upper + b * (lower - upper);
  }
  into[at + 3] = 255;
}

/** One row between two rows of knots, `down` of the way from the upper to the lower. */
function fillRow(
  photo: Raster,
  upper: Float64Array,
  lower: Float64Array,
  down: number,
  data: Uint8ClampedArray,
  start: number,
  width: number,
): void {
  for (let column = 0, at = start; column < width; column += GRID_PX) {
    const k = (2 * column) / GRID_PX;
    const u = upper[k]! + down * (lower[k]! - upper[k]!);
    const v = upper[k + 1]! + down * (lower[k + 1]! - upper[k + 1]!);
    const stepU = (upper[k + 2]! + down * (lower[k + 2]! - upper[k + 2]!) - u) / GRID_PX;
    const stepV = (upper[k + 3]! + down * (lower[k + 3]! - upper[k + 3]!) - v) / GRID_PX;
    const count = Math.min(GRID_PX, width - column);
    for (let i = 0; i < count; i++, at += 4) sampleInto(photo, u + i * stepU, v + i * stepV, data, at);
  }
}

/**
 * A picture of the plane z = `zMm` over a rectangle (mm), `pxPerMm` pixels to the millimetre, y up: the top row
 * shows `area.maxY`. Clear where the photo shows nothing. Throws for an empty area or one too large to draw.
 */
export function flattenedView(photo: Raster, camera: Camera, area: Bounds, pxPerMm: number, zMm = 0): Raster {
  const width = Math.round((area.maxX - area.minX) * pxPerMm);
  const height = Math.round((area.maxY - area.minY) * pxPerMm);
  if (!(width >= 1 && height >= 1 && width * height <= MOST_PIXELS)) {
    throw new Error(`cannot draw a flattened view of ${width} x ${height} pixels`);
  }
  const data = new Uint8ClampedArray(width * height * 4);
  const columns = Math.ceil(width / GRID_PX) + 1;
  // Pixel (i, j) shows the middle of its square of the plane.
  const knotsOf = (row: number): Float64Array => {
    const knots = new Float64Array(columns * 2);
    for (let k = 0; k < columns; k++) {
      const x = area.minX + (k * GRID_PX + 0.5) / pxPerMm;
      const { u, v } = planeToImage(camera, { x, y: area.maxY - (row + 0.5) / pxPerMm }, zMm);
      knots[2 * k] = u;
      knots[2 * k + 1] = v;
    }
    return knots;
  };
  let upper = knotsOf(0);
  for (let top = 0; top < height; top += GRID_PX) {
    const lower = knotsOf(top + GRID_PX);
    for (let row = top; row < Math.min(height, top + GRID_PX); row++) {
      fillRow(photo, upper, lower, (row - top) / GRID_PX, data, row * width * 4, width);
    }
    upper = lower;
  }
  return { width, height, data };
}
