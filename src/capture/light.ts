/** The photo's light: luminance in linear light, 0 (black) .. 1 (sRGB white). */
import { LINEAR_FROM_SRGB, type Raster } from '../vision/raster.ts';

// Luminance of linear sRGB (IEC 61966-2-1 primaries; ITU-R BT.709 weights).
const RED = LINEAR_FROM_SRGB.map((value) => 0.2126 * value);
const GREEN = LINEAR_FROM_SRGB.map((value) => 0.7152 * value);
const BLUE = LINEAR_FROM_SRGB.map((value) => 0.0722 * value);

/** Luminance of the pixel whose first byte is `data[at]`. */
function luminanceOf(data: Raster['data'], at: number): number {
  return RED[data[at]!]! + GREEN[data[at + 1]!]! + BLUE[data[at + 2]!]!;
}

/** A cut-out of the photo in linear light; pixel (column, row) is the photo's (left + column, top + row). */
export interface LightPatch {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly light: Float32Array;
}

/** The part of the photo within `reachPx` of a point, cut at the border. */
export function lightPatch(photo: Raster, u: number, v: number, reachPx: number): LightPatch {
  const left = Math.max(0, Math.floor(u - reachPx));
  const top = Math.max(0, Math.floor(v - reachPx));
  const width = Math.max(0, Math.min(photo.width - 1, Math.ceil(u + reachPx)) - left + 1);
  const height = Math.max(0, Math.min(photo.height - 1, Math.ceil(v + reachPx)) - top + 1);
  const light = new Float32Array(width * height);
  for (let row = 0, to = 0; row < height; row++) {
    let from = ((top + row) * photo.width + left) * 4;
    for (let column = 0; column < width; column++, from += 4) light[to++] = luminanceOf(photo.data, from);
  }
  return { left, top, width, height, light };
}

/** Bilinear luminance at an image point; NaN outside the picture. */
export function lightAt(photo: Raster, u: number, v: number): number {
  const column = Math.floor(u);
  const row = Math.floor(v);
  if (!(column >= 0 && row >= 0 && column + 1 < photo.width && row + 1 < photo.height)) return Number.NaN;
  const [a, b] = [u - column, v - row];
  const at = (row * photo.width + column) * 4;
  const below = at + photo.width * 4;
  const upper = (1 - a) * luminanceOf(photo.data, at) + a * luminanceOf(photo.data, at + 4);
  const lower = (1 - a) * luminanceOf(photo.data, below) + a * luminanceOf(photo.data, below + 4);
  return (1 - b) * upper + b * lower;
}

/** Bilinear red, green and blue in linear light at an image point; undefined outside the picture. */
export function lightColor(
  photo: Raster,
  u: number,
  v: number,
): readonly [number, number, number] | undefined {
  const column = Math.floor(u);
  const row = Math.floor(v);
  if (!(column >= 0 && row >= 0 && column + 1 < photo.width && row + 1 < photo.height)) return undefined;
  const [a, b] = [u - column, v - row];
  const { data } = photo;
  const from = (row * photo.width + column) * 4;
  const below = from + photo.width * 4;
  const channel = (k: number): number => {
    const upper = (1 - a) * LINEAR_FROM_SRGB[data[from + k]!]! + a * LINEAR_FROM_SRGB[data[from + 4 + k]!]!;
    const lower = (1 - a) * LINEAR_FROM_SRGB[data[below + k]!]! + a * LINEAR_FROM_SRGB[data[below + 4 + k]!]!;
    return (1 - b) * upper + b * lower;
  };
  return [channel(0), channel(1), channel(2)];
}
