import type { Raster } from '../vision/raster.ts';
import { wrap } from './contour.ts';
import { fitEdge } from './edge-model.ts';
import { type EdgeStrip, gatherStrip, newStrip } from './edge-strip.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { DARK_LEVEL, PLANES } from './wall-profile.ts';

/** The strip across an edge in shadow, px: into the piece, out to before the shadow's rim, and half its width. */
const INWARD_PX = 7;
const OUTWARD_PX = 3.5;
const HALF_WIDTH_PX = 4;
/** Pixels this close to the edge belong to neither side, and how far it may lie from the line. */
const GAP_IN_PX = 2;
const GAP_OUT_PX = 1;
const SEARCH_PX = 2;
/** Samples either way that choose together in what piece and shadow differ. */
const REACH = 8;
/** A JPEG smears hue: the blur of the mix over that of light. */
const HUE_BLUR = 1.4;
/** Piece and shadow must differ by so many sigma of a pixel. */
const LEAST_PARTING = 0.7;

/** Sums over one side of a strip, or of several. */
interface Side {
  count: number;
  readonly sums: Float64Array;
  readonly squares: Float64Array;
}

const newSide = (): Side => ({ count: 0, sums: new Float64Array(PLANES), squares: new Float64Array(PLANES) });

/** Light and hue of each pixel as logarithms, in place of the strip's red, green and blue. */
function toLogarithms({ count, red, green, blue }: EdgeStrip): void {
  for (let k = 0; k < count; k++) {
    const r = Math.log(Math.max(0, red[k]!) + DARK_LEVEL);
    const g = Math.log(Math.max(0, green[k]!) + DARK_LEVEL);
    const b = Math.log(Math.max(0, blue[k]!) + DARK_LEVEL);
    red[k] = (r + g + b) / 3;
    green[k] = r - g;
    blue[k] = b - g;
  }
}

function noteSide({ count, distance, red, green, blue }: EdgeStrip, from: number, to: number): Side {
  const side = newSide();
  for (let k = 0; k < count; k++) {
    if (distance[k]! < from || distance[k]! > to) continue;
    side.count++;
    for (const [p, plane] of [red, green, blue].entries()) {
      side.sums[p]! += plane[k]!;
      side.squares[p]! += plane[k]! ** 2;
    }
  }
  return side;
}

/** Weights of the three planes that part two sides best (Fisher's discriminant, planes taken as independent), or undefined. */
function partingWeights(inside: Side, outside: Side): Float64Array | undefined {
  if (inside.count === 0 || outside.count === 0) return undefined;
  const weights = new Float64Array(PLANES);
  let parting = 0;
  for (let p = 0; p < PLANES; p++) {
    const [a, b] = [inside.sums[p]! / inside.count, outside.sums[p]! / outside.count];
    const spread =
      inside.squares[p]! / inside.count - a * a + (outside.squares[p]! / outside.count - b * b) + 1e-6;
    weights[p] = (b - a) / spread;
    parting += (b - a) ** 2 / spread;
  }
  return parting < LEAST_PARTING ** 2 ? undefined : weights.map((weight) => weight / parting);
}

/**
 * Places the samples of an edge that lie in the piece's own shadow afresh, about the line that they were looked for on:
 * by what parts the piece from the shadow beside it, mostly hue, since light changes more at the shadow's rim.
 */
export function settleShaded(photo: Raster, edge: RefinedEdge, shaded: Uint8Array): RefinedEdge {
  const count = edge.u.length;
  const strip = newStrip(INWARD_PX + 1, HALF_WIDTH_PX);
  const gather = (i: number): readonly [number, number] => {
    const u = edge.u[i]! - edge.moved[i]! * edge.normalU[i]!;
    const v = edge.v[i]! - edge.moved[i]! * edge.normalV[i]!;
    gatherStrip(photo, u, v, edge.normalU[i]!, edge.normalV[i]!, INWARD_PX, OUTWARD_PX, HALF_WIDTH_PX, strip);
    toLogarithms(strip);
    return [u, v];
  };
  const sides = Array.from(shaded, (is, i) => {
    if (!is) return undefined;
    gather(i);
    return [noteSide(strip, -INWARD_PX, -GAP_IN_PX), noteSide(strip, GAP_OUT_PX, OUTWARD_PX)] as const;
  });
  const [u, v] = [edge.u.slice(), edge.v.slice()];
  const [moved, clearness] = [edge.moved.slice(), edge.clearness.slice()];
  const value = new Float64Array(strip.distance.length);
  for (let i = 0; i < count; i++) {
    if (!shaded[i]) continue;
    const [inside, outside] = [newSide(), newSide()];
    for (let k = -REACH; k <= REACH; k++) {
      const near = sides[wrap(i + k, count)];
      if (!near) continue;
      for (const [to, from] of [
        [inside, near[0]],
        [outside, near[1]],
      ] as const) {
        to.count += from.count;
        for (let p = 0; p < PLANES; p++) {
          to.sums[p]! += from.sums[p]!;
          to.squares[p]! += from.squares[p]!;
        }
      }
    }
    const weights = partingWeights(inside, outside);
    [u[i], v[i]] = gather(i);
    moved[i] = 0;
    clearness[i] = 0;
    if (!weights) continue;
    for (let k = 0; k < strip.count; k++) {
      value[k] = weights[0]! * strip.red[k]! + weights[1]! * strip.green[k]! + weights[2]! * strip.blue[k]!;
    }
    const fit = fitEdge(strip.distance, value, strip.count, 0, HUE_BLUR * edge.sigmaPx, SEARCH_PX);
    if (!fit || fit.outside <= fit.inside) continue;
    moved[i] = fit.offset;
    u[i]! += fit.offset * edge.normalU[i]!;
    v[i]! += fit.offset * edge.normalV[i]!;
    clearness[i] = (fit.outside - fit.inside) / Math.max(1e-4, fit.noise);
  }
  return { ...edge, u, v, moved, clearness };
}
