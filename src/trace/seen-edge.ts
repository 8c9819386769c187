import { median } from '../geometry/median.ts';
import type { Raster } from '../vision/raster.ts';
import { wrap } from './contour.ts';
import { mixStrip, plainMix } from './edge-channel.ts';
import { fitEdge } from './edge-model.ts';
import { type EdgeStrip, gatherStrip, newStrip } from './edge-strip.ts';
import type { RefinedEdge } from './refine-edge.ts';
import type { SeenEdge } from './types.ts';
import { fitWall, type WallFit } from './wall-model.ts';
import { NARROWEST_WALL_PX, trackWalls } from './wall-track.ts';
import { skewAt, type WallView, wallPxAt } from './wall-view.ts';

/** Which edge each sample of an outline was traced on, and the best place and height known for it. */
export interface SeenEdges {
  /** The edge that the traced place lies on: the top edge, or the foot of a wall that shows. */
  readonly traced: readonly SeenEdge[];
  /** The place in the photo to be mapped, and the edge that it lies on. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly height: readonly SeenEdge[];
  /** 1 where the reading changes or no edge was found: left out. */
  readonly doubtful: Uint8Array;
  /** How clear the top edge is (step over noise) along the middle one of the walls that show. */
  readonly topClearness: number;
}

/** Up to this width both edges of a wall lie in one strip and are fitted together. */
const NARROW_PX = 9;
/** Pixels beyond an edge that a strip takes in, half its width, and how far the edge may lie from its expected place, px. */
const LEVEL_PX = 6;
const HALF_WIDTH_PX = 1.6;
const SEARCH_PX = 2;
/** Samples either way that choose between top edge and foot together. */
const VOTE_REACH = 6;
/** The top edge is where the outline lies: the foot is taken only when it is this many times clearer. */
const FOOT_HANDICAP = 1.4;
/** An edge clearer than this (step over noise) is clear enough. */
const CLEAR_ENOUGH = 6;

interface Strips {
  readonly photo: Raster;
  readonly edge: RefinedEdge;
  readonly strip: EdgeStrip;
  readonly value: Float64Array;
}

/** An edge near an expected place: its offset along the normal, px, and its step over the noise (0 if none was found). */
interface Found {
  readonly offset: number;
  readonly clearness: number;
}

const NOT_FOUND: Found = { offset: 0, clearness: 0 };

function gather(
  { photo, edge, strip, value }: Strips,
  i: number,
  u: number,
  v: number,
  reachPx: number,
  skew: number,
) {
  gatherStrip(photo, u, v, edge.normalU[i]!, edge.normalV[i]!, reachPx, reachPx, HALF_WIDTH_PX, strip, skew);
  mixStrip(strip, plainMix(edge.mix[i]!), value);
}

/** Looks for one edge of a wide wall about (u, v). */
function findEdge(strips: Strips, i: number, u: number, v: number, reachPx: number): Found {
  gather(strips, i, u, v, reachPx, 0);
  const { strip, value, edge } = strips;
  const fit = fitEdge(strip.distance, value, strip.count, 0, edge.sigmaPx, SEARCH_PX);
  if (!fit) return NOT_FOUND;
  return { offset: fit.offset, clearness: Math.abs(fit.outside - fit.inside) / Math.max(1e-4, fit.noise) };
}

/** Sum over neighbours of a closed sequence. */
function sumOverNeighbours(values: Float64Array): Float64Array {
  return values.map((_, i) => {
    let sum = 0;
    for (let k = -VOTE_REACH; k <= VOTE_REACH; k++)
      sum += Math.min(CLEAR_ENOUGH, values[wrap(i + k, values.length)]!);
    return sum;
  });
}

/** The top edge strays by more than this between neighbours, px: the reading changes there, or fails. */
const STRAY_PX = 2;
const EDGE_ON = 0.15;
/** Edges less clear than this are not seen at all. */
const LEAST_CLEAR = 2.5;
const LEAST_STEP = 0.06;

/** Whether a fitted narrow wall shows an edge at all: a step by a share of the brighter level. */
function seesWall({ face, wall, table }: WallFit): boolean {
  const step = Math.max(Math.abs(face - wall), Math.abs(table - wall), Math.abs(table - face));
  return step > LEAST_STEP * Math.max(face, wall, table);
}

/** Marks the samples beside a change of reading, and those where neither edge of a wall is seen. */
function markDoubtful(
  edge: RefinedEdge,
  isTop: boolean,
  view: WallView,
  topPx: Float64Array,
  traced: readonly SeenEdge[],
  topClear: Float64Array,
  footClear: Float64Array,
): Uint8Array {
  const count = topPx.length;
  const doubtful = new Uint8Array(count);
  // From the edge that was traced: neither its own wandering nor the wall's width counts.
  const strayPx = topPx.map((top, i) => (traced[i] === 'foot' ? top + wallPxAt(view, i) : top));
  for (let i = 0; i < count; i++) {
    if (wallPxAt(view, i) < NARROWEST_WALL_PX) {
      if (isTop && edge.clearness[i] === 0) doubtful[i] = 1;
      continue;
    }
    // Nearly edge-on both readings are about the same: the first tracing keeps what it has there.
    if (!isTop && view.facing[i]! < EDGE_ON) continue;
    const before = wrap(i - 1, count);
    const least = wallPxAt(view, i) <= NARROW_PX ? Number.MIN_VALUE : LEAST_CLEAR;
    if (Math.max(topClear[i]!, footClear[i]!) < least) doubtful[i] = 1;
    const changes = wallPxAt(view, before) >= NARROWEST_WALL_PX && traced[i] !== traced[before];
    if (!changes && Math.abs(strayPx[i]! - strayPx[before]!) < STRAY_PX) continue;
    for (let k = -2; k <= 1; k++) doubtful[wrap(i + k, count)] = 1;
  }
  return doubtful;
}

/** What was found beside one sample of a wall: the place and height to be mapped, and how clear both edges are. */
interface WallPlace {
  u: number;
  v: number;
  topClear: number;
  footClear: number;
  footU: number;
  footV: number;
}

/** Noise of a pixel in linear light: a floor, and a share of its level (from memory). */
const NOISE_FLOOR = 0.004;
const NOISE_SHARE = 0.02;

/** Both edges of a narrow wall whose top edge is expected `top` px out, fitted together. */
function placeNarrow(
  strips: Strips,
  i: number,
  top: number,
  wallPx: number,
  lean: number,
  into: WallPlace,
): void {
  const { edge, strip, value } = strips;
  gather(strips, i, into.u, into.v, wallPx + LEVEL_PX, Math.max(-1, Math.min(1, lean)));
  const fit = fitWall(strip.distance, value, strip.count, 0, wallPx, edge.sigmaPx, SEARCH_PX);
  const offset = fit?.top ?? 0;
  into.u += offset * edge.normalU[i]!;
  into.v += offset * edge.normalV[i]!;
  into.footU = edge.u[i]! + (top + offset + wallPx) * edge.normalU[i]!;
  into.footV = edge.v[i]! + (top + offset + wallPx) * edge.normalV[i]!;
  into.topClear = into.footClear = 0;
  if (!fit || !seesWall(fit)) return;
  into.topClear = Math.abs(fit.wall - fit.face) / (NOISE_FLOOR + NOISE_SHARE * Math.max(fit.wall, fit.face));
  into.footClear =
    Math.abs(fit.table - fit.wall) / (NOISE_FLOOR + NOISE_SHARE * Math.max(fit.wall, fit.table));
}

/** Each edge of a wide wall by itself. */
function placeWide(strips: Strips, i: number, wallPx: number, lean: number, into: WallPlace): void {
  const [nu, nv] = [strips.edge.normalU[i]!, strips.edge.normalV[i]!];
  into.footU = into.u + wallPx * (nu - lean * nv);
  into.footV = into.v + wallPx * (nv + lean * nu);
  const reachPx = Math.min(LEVEL_PX, wallPx - 2);
  const atTop = findEdge(strips, i, into.u, into.v, reachPx);
  const atFoot = findEdge(strips, i, into.footU, into.footV, reachPx);
  into.u += atTop.offset * nu;
  into.v += atTop.offset * nv;
  into.footU += atFoot.offset * nu;
  into.footV += atFoot.offset * nv;
  into.topClear = atTop.clearness;
  into.footClear = atFoot.clearness;
}

/**
 * Tells for each sample of a thick piece's outline which edge of the wall was traced: the top edge or the foot. Turned
 * away from the camera's foot point it is always the top edge. `isTop`: the edge given follows the top edge all round,
 * but for gaps; then the foot is taken only where the top edge is much fainter.
 */
export function tellSeenEdges(photo: Raster, edge: RefinedEdge, view: WallView, isTop: boolean): SeenEdges {
  const count = edge.u.length;
  const topPx = trackWalls(photo, edge, view, isTop);
  const traced = Array.from({ length: count }, (): SeenEdge => 'top');
  const height = traced.slice();
  const [u, v] = [edge.u.slice(), edge.v.slice()];
  const [footU, footV] = [edge.u.slice(), edge.v.slice()];
  const [topClear, footClear] = [new Float64Array(count), new Float64Array(count)];
  const strip = newStrip(NARROW_PX + LEVEL_PX + 1, 2 * HALF_WIDTH_PX);
  const strips: Strips = { photo, edge, strip, value: new Float64Array(strip.distance.length) };
  const place: WallPlace = { u: 0, v: 0, topClear: 0, footClear: 0, footU: 0, footV: 0 };
  for (let i = 0; i < count; i++) {
    const wallPx = wallPxAt(view, i);
    if (wallPx < NARROWEST_WALL_PX) continue;
    const top = topPx[i]!;
    const isFoot = !isTop && Math.abs(top + wallPx) < Math.abs(top);
    if (isFoot) traced[i] = height[i] = 'foot';
    const lean = skewAt(view, edge, i);
    const isNarrow = wallPx <= NARROW_PX;
    // From the foot the top edge of a wide wall lies straight above; all else is looked at along the normal.
    const skew = isTop || isNarrow ? 0 : lean;
    place.u = edge.u[i]! + top * (edge.normalU[i]! - skew * edge.normalV[i]!);
    place.v = edge.v[i]! + top * (edge.normalV[i]! + skew * edge.normalU[i]!);
    if (isNarrow) placeNarrow(strips, i, top, wallPx, lean, place);
    else placeWide(strips, i, wallPx, lean, place);
    topClear[i] = place.topClear;
    footClear[i] = place.footClear;
    [footU[i], footV[i]] = [place.footU, place.footV];
    if (isTop || (isNarrow && !isFoot)) [u[i], v[i]] = [place.u, place.v];
    else if (isNarrow) [u[i], v[i]] = [place.footU, place.footV];
  }
  const clearness = middleClearness(topClear, view);
  const doubtful = markDoubtful(edge, isTop, view, topPx, traced, topClear, footClear);
  if (isTop) {
    const tops = sumOverNeighbours(topClear);
    const feet = sumOverNeighbours(footClear);
    for (let i = 0; i < count; i++) {
      if (wallPxAt(view, i) <= NARROW_PX || feet[i]! < FOOT_HANDICAP * tops[i]!) continue;
      height[i] = 'foot';
      u[i] = footU[i]!;
      v[i] = footV[i]!;
    }
  }
  return { traced, u, v, height, doubtful, topClearness: clearness };
}

/** The middle of how clear the top edge is along the walls that show; 0 without any. */
function middleClearness(topClear: Float64Array, view: WallView): number {
  return median(topClear.filter((_, i) => wallPxAt(view, i) >= NARROWEST_WALL_PX));
}
