import { LINEAR_FROM_SRGB, type Raster } from '../vision/raster.ts';

/**
 * The photo's own pixels in a short strip across an edge, each with its exact signed distance from the middle of
 * the strip along the normal. Nothing is interpolated: many pixels at many sub-pixel distances draw the edge's
 * profile, as in the slanted-edge method of ISO 12233. Reused from strip to strip: read `count` entries.
 */
export interface EdgeStrip {
  count: number;
  /** Distance along the normal, px, outward positive. */
  readonly distance: Float64Array;
  /** Linear light. */
  readonly red: Float64Array;
  readonly green: Float64Array;
  readonly blue: Float64Array;
}

/** A row's pixels are narrowed by a side of the strip unless it runs along the row within this slope; px to spare for rounding. */
const LEAST_SLOPE = 1e-6;
const SPARE_PX = 0.01;

/** Room for strips up to `reachPx` long either way and `halfWidthPx` wide either way. */
export function newStrip(reachPx: number, halfWidthPx: number): EdgeStrip {
  const room = Math.ceil((2 * reachPx + 3) * (2 * halfWidthPx + 3));
  return {
    count: 0,
    distance: new Float64Array(room),
    red: new Float64Array(room),
    green: new Float64Array(room),
    blue: new Float64Array(room),
  };
}

/**
 * Fills the strip with the pixels whose centres lie within reach of (u, v): `inwardPx` against the normal,
 * `outwardPx` along it, `halfWidthPx` to either side. With a `skew` the strip leans: its middle moves that far to the
 * side (along the normal turned a quarter from u to v) for each pixel outwards.
 */
export function gatherStrip(
  photo: Raster,
  u: number,
  v: number,
  normalU: number,
  normalV: number,
  inwardPx: number,
  outwardPx: number,
  halfWidthPx: number,
  strip: EdgeStrip,
  skew = 0,
): void {
  const { width, height, data } = photo;
  const reachPx = Math.max(inwardPx, outwardPx);
  const sidePx = halfWidthPx + Math.abs(skew) * reachPx;
  const spanU = Math.abs(normalU) * reachPx + Math.abs(normalV) * sidePx;
  const spanV = Math.abs(normalV) * reachPx + Math.abs(normalU) * sidePx;
  const left = Math.max(0, Math.ceil(u - spanU));
  const right = Math.min(width - 1, Math.floor(u + spanU));
  const top = Math.max(0, Math.ceil(v - spanV));
  const bottom = Math.min(height - 1, Math.floor(v + spanV));
  const room = strip.distance.length;
  // Along and across grow by these for a column; a long strip that leans fills little of the box about it.
  const acrossSlope = -normalV - skew * normalU;
  const perAlong = Math.abs(normalU) > LEAST_SLOPE ? 1 / normalU : 0;
  const perAcross = Math.abs(acrossSlope) > LEAST_SLOPE ? 1 / acrossSlope : 0;
  const halfAlong = Math.abs(perAlong) * ((outwardPx + inwardPx) / 2) + SPARE_PX;
  const halfAcross = Math.abs(perAcross) * halfWidthPx + SPARE_PX;
  let count = 0;
  for (let row = top; row <= bottom; row++) {
    const dv = row - v;
    let from = left;
    let to = right;
    if (perAlong !== 0) {
      const middle = u + ((outwardPx - inwardPx) / 2 - dv * normalV) * perAlong;
      from = Math.max(from, Math.ceil(middle - halfAlong));
      to = Math.min(to, Math.floor(middle + halfAlong));
    }
    if (perAcross !== 0) {
      const middle = u - dv * (normalU - skew * normalV) * perAcross;
      from = Math.max(from, Math.ceil(middle - halfAcross));
      to = Math.min(to, Math.floor(middle + halfAcross));
    }
    for (let column = from; column <= to; column++) {
      const du = column - u;
      const along = du * normalU + dv * normalV;
      const across = dv * normalU - du * normalV - skew * along;
      if (along > outwardPx || along < -inwardPx || across > halfWidthPx || across < -halfWidthPx) continue;
      if (count === room) break;
      const at = (row * width + column) * 4;
      strip.distance[count] = along;
      strip.red[count] = LINEAR_FROM_SRGB[data[at]!]!;
      strip.green[count] = LINEAR_FROM_SRGB[data[at + 1]!]!;
      strip.blue[count] = LINEAR_FROM_SRGB[data[at + 2]!]!;
      count++;
    }
  }
  strip.count = count;
}
