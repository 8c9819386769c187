import { type EdgeStrip, gatherStrip, newStrip } from './edge-strip.ts';
import type { Raster } from '../vision/raster.ts';

/** Light below this counts as black when levels are compared by ratio. */
export const DARK_LEVEL = 0.004;
/** Half the width of the strip along the edge, px. */
const HALF_WIDTH_PX = 2;

/** Planes of a profile: light, and red and blue against green, as logarithms: shadow changes the first alone. */
export const PLANES = 3;

/**
 * The picture across a side wall, a value for each whole pixel along the normal from `first` to `last` (0 is the
 * traced edge, outward positive), looked at along the wall's own upright lines. Reused from sample to sample.
 */
export interface WallProfile {
  first: number;
  last: number;
  /** Mean linear light of red, green and blue, from `first` on. */
  readonly linear: readonly [Float64Array, Float64Array, Float64Array];
  /** The three planes of logarithms. */
  readonly planes: readonly [Float64Array, Float64Array, Float64Array];
  /** Sums of each plane's values, squares and values times place, up to before an index: lines are fitted from them. */
  readonly sums: readonly Float64Array[];
  readonly squares: readonly Float64Array[];
  readonly moments: readonly Float64Array[];
  readonly strip: EdgeStrip;
  readonly counts: Float64Array;
}

/** Room for profiles that reach `reachPx` either way. */
export function newWallProfile(reachPx: number): WallProfile {
  const size = 2 * Math.ceil(reachPx) + 3;
  const row = () => new Float64Array(size + 1);
  const three = () => [row(), row(), row()] as const;
  return {
    first: 0,
    last: -1,
    linear: three(),
    planes: three(),
    sums: three(),
    squares: three(),
    moments: three(),
    strip: newStrip(Math.ceil(reachPx) + 1, HALF_WIDTH_PX),
    counts: row(),
  };
}

/** Means of the strip's pixels over whole pixels along the normal; a place without a pixel repeats its neighbour. */
function binStrip({ first, last, linear, strip, counts }: WallProfile): void {
  const [red, green, blue] = linear;
  const size = last - first + 1;
  for (const plane of [red, green, blue, counts]) plane.fill(0, 0, size);
  for (let i = 0; i < strip.count; i++) {
    const k = Math.round(strip.distance[i]!) - first;
    if (k < 0 || k >= size) continue;
    red[k]! += strip.red[i]!;
    green[k]! += strip.green[i]!;
    blue[k]! += strip.blue[i]!;
    counts[k]!++;
  }
  for (let k = 0; k < size; k++) {
    const n = counts[k]!;
    const before = Math.max(0, k - 1);
    for (const plane of [red, green, blue]) plane[k] = n > 0 ? plane[k]! / n : plane[before]!;
  }
}

/** Reads the profile about a place from `first` to `last` px along its normal; `skew` as in `gatherStrip`. */
export function readWallProfile(
  photo: Raster,
  u: number,
  v: number,
  normalU: number,
  normalV: number,
  skew: number,
  first: number,
  last: number,
  into: WallProfile,
): void {
  into.first = first;
  into.last = last;
  gatherStrip(photo, u, v, normalU, normalV, 0.5 - first, last + 0.5, HALF_WIDTH_PX, into.strip, skew);
  binStrip(into);
  const [red, green, blue] = into.linear;
  const [light, redness, blueness] = into.planes;
  const size = last - first + 1;
  for (let k = 0; k < size; k++) {
    const r = Math.log(red[k]! + DARK_LEVEL);
    const g = Math.log(green[k]! + DARK_LEVEL);
    const b = Math.log(blue[k]! + DARK_LEVEL);
    light[k] = (r + g + b) / 3;
    redness[k] = r - g;
    blueness[k] = b - g;
  }
  for (let p = 0; p < PLANES; p++) {
    const [plane, sums, squares, moments] = [
      into.planes[p]!,
      into.sums[p]!,
      into.squares[p]!,
      into.moments[p]!,
    ];
    sums[0] = squares[0] = moments[0] = 0;
    for (let k = 0; k < size; k++) {
      const value = plane[k]!;
      sums[k + 1] = sums[k]! + value;
      squares[k + 1] = squares[k]! + value * value;
      moments[k + 1] = moments[k]! + value * k;
    }
  }
}

/** A straight line through part of a plane: sum of squared misfits, and its values at both ends. */
export interface LineOfPart {
  count: number;
  misfit: number;
  atFirst: number;
  atLast: number;
}

/** Fits the line to the places from `from` to `to` (px along the normal, both inside, cut to the profile). */
export function lineOfPart(
  profile: WallProfile,
  p: number,
  from: number,
  to: number,
  into: LineOfPart,
): void {
  const a = Math.max(0, Math.ceil(from) - profile.first);
  const b = Math.min(profile.last, Math.floor(to)) - profile.first;
  const n = Math.max(0, b - a + 1);
  into.count = n;
  into.misfit = 0;
  if (n === 0) return;
  const sum = profile.sums[p]![b + 1]! - profile.sums[p]![a]!;
  const square = profile.squares[p]![b + 1]! - profile.squares[p]![a]!;
  const mean = sum / n;
  into.atFirst = mean;
  into.atLast = mean;
  if (n === 1) return;
  const moment = profile.moments[p]![b + 1]! - profile.moments[p]![a]! - ((a + b) / 2) * sum;
  const spread = (n * (n * n - 1)) / 12;
  const slope = moment / spread;
  into.misfit = Math.max(0, square - sum * mean - slope * moment);
  into.atFirst = mean - (slope * (n - 1)) / 2;
  into.atLast = mean + (slope * (n - 1)) / 2;
}
