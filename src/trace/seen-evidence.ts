import type { Raster } from '../vision/raster.ts';
import { wrap } from './contour.ts';
import { type EdgeStrip, gatherStrip, newStrip } from './edge-strip.ts';
import { mixStrip, plainMix } from './edge-channel.ts';
import { logStepAt } from './edge-model.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { fitWall } from './wall-model.ts';
import { type WallView, wallPxAt } from './wall-view.ts';

/** What the picture says about which edge of a visible side wall was traced, per sample. */
export interface SeenEvidence {
  /** Above 0 for the foot, below 0 for the top edge; about -1..1. */
  readonly forFoot: Float64Array;
  /** How far along the normal the edge really lies from the traced place if it is the foot, or the top edge, px. */
  readonly footShiftPx: Float64Array;
  readonly topShiftPx: Float64Array;
}

/** Walls narrower than this are edge-on; up to the second width both edges lie in one strip and are fitted together. */
const NARROWEST_PX = 1.5;
const NARROW_PX = 9;
/** Pixels beyond the wall that a strip takes in, and half its width, px. */
const LEVEL_PX = 6;
const HALF_WIDTH_PX = 2;
/** How far a fitted pair of edges may lie from where the traced edge puts it, px. */
const SEARCH_PX = 3;
/** Samples either way over which second edges of wide walls are averaged. */
const MEAN_REACH = 8;
/** How far the foot is preferred when neither second edge is seen: wall and face are of one stuff. */
const FOOT_PREFERENCE = 0.08;

/** A wall is of the face's stuff and seldom better lit: brighter by more than this (log) it is hard to believe. */
const BRIGHTER_WALL = 0.4;
const MOST_DISBELIEF = 1.5;
/** Light below this counts as black when levels are compared by ratio. */
const DARK_LEVEL = 0.004;

/** How hard it is to believe a wall whose light exceeds the face's by this logarithm. */
function disbelief(logWallOverFace: number): number {
  return Math.min(MOST_DISBELIEF, Math.max(0, logWallOverFace - BRIGHTER_WALL));
}

function logRatio(a: number, b: number): number {
  return Math.log(Math.max(DARK_LEVEL, a) / Math.max(DARK_LEVEL, b));
}

/** Mean over neighbours of a closed sequence. */
function meanOverNeighbours(values: Float64Array): Float64Array {
  const count = values.length;
  return values.map((_, i) => {
    let sum = 0;
    for (let k = -MEAN_REACH; k <= MEAN_REACH; k++) sum += values[wrap(i + k, count)]!;
    return sum / (2 * MEAN_REACH + 1);
  });
}

interface Strips {
  readonly photo: Raster;
  readonly edge: RefinedEdge;
  readonly strip: EdgeStrip;
  readonly value: Float64Array;
}

/** Gathers a strip about a place `offsetPx` out along the sample's normal, in plain light. */
function gather(
  { photo, edge, strip, value }: Strips,
  i: number,
  offsetPx: number,
  inPx: number,
  outPx: number,
): void {
  const nu = edge.normalU[i]!;
  const nv = edge.normalV[i]!;
  const u = edge.u[i]! + offsetPx * nu;
  const v = edge.v[i]! + offsetPx * nv;
  gatherStrip(photo, u, v, nu, nv, inPx, outPx, HALF_WIDTH_PX, strip);
  mixStrip(strip, plainMix(edge.mix[i]!), value);
}

/** A narrow wall: both readings are fitted as face, wall and table, and the better one is believed. */
function readNarrowWall(strips: Strips, i: number, wallPx: number, into: SeenEvidence): void {
  const reach = wallPx + LEVEL_PX;
  gather(strips, i, 0, reach, reach);
  const { strip, value, edge } = strips;
  const fit = (topStart: number) =>
    fitWall(strip.distance, value, strip.count, topStart, wallPx, edge.sigmaPx, SEARCH_PX);
  const asFoot = fit(-wallPx);
  const asTop = fit(0);
  if (asFoot) into.footShiftPx[i] = asFoot.top + wallPx;
  if (asTop) into.topShiftPx[i] = asTop.top;
  if (!asFoot || !asTop) into.forFoot[i] = asFoot ? 1 : asTop ? -1 : 0;
  else {
    const gain = (asTop.misfit - asFoot.misfit) / (1 + Math.min(asTop.misfit, asFoot.misfit));
    const belief =
      disbelief(logRatio(asTop.wall, asTop.face)) - disbelief(logRatio(asFoot.wall, asFoot.face));
    into.forFoot[i] = Math.min(1, Math.max(-1, gain)) + belief + FOOT_PREFERENCE;
  }
}

/**
 * Looks for the second edge of every visible side wall. A wide wall has a second edge one wall's width inside the
 * traced one if that is the foot, as far outside if it is the top edge; a narrow one is fitted as a whole, which also
 * corrects the place of the traced edge for its neighbour.
 */
export function readWalls(photo: Raster, edge: RefinedEdge, view: WallView): SeenEvidence {
  const count = edge.u.length;
  const evidence: SeenEvidence = {
    forFoot: new Float64Array(count),
    footShiftPx: new Float64Array(count),
    topShiftPx: new Float64Array(count),
  };
  const widest = Math.max(LEVEL_PX, NARROW_PX + LEVEL_PX);
  const strip = newStrip(widest, HALF_WIDTH_PX);
  const strips: Strips = { photo, edge, strip, value: new Float64Array(strip.distance.length) };
  const within = new Float64Array(count);
  const beyond = new Float64Array(count);
  const across = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const wallPx = wallPxAt(view, i);
    if (wallPx < NARROWEST_PX) continue;
    if (wallPx <= NARROW_PX) readNarrowWall(strips, i, wallPx, evidence);
    else {
      gather(strips, i, -wallPx, LEVEL_PX, LEVEL_PX);
      within[i] = logStepAt(strip.distance, strips.value, strip.count, edge.sigmaPx);
      gather(strips, i, 0, LEVEL_PX, LEVEL_PX);
      across[i] = logStepAt(strip.distance, strips.value, strip.count, edge.sigmaPx);
      gather(strips, i, wallPx, LEVEL_PX, LEVEL_PX);
      beyond[i] = logStepAt(strip.distance, strips.value, strip.count, edge.sigmaPx);
    }
  }
  // Averaged with their signs first, so that noise and texture cancel.
  const meanWithin = meanOverNeighbours(within);
  const meanBeyond = meanOverNeighbours(beyond);
  const meanAcross = meanOverNeighbours(across);
  for (let i = 0; i < count; i++) {
    if (wallPxAt(view, i) <= NARROW_PX) continue;
    const edges = Math.min(1, Math.abs(meanWithin[i]!)) - Math.min(1, Math.abs(meanBeyond[i]!));
    // Had the top edge been traced, the wall would begin right outside it; had the foot, one width inside.
    const belief = disbelief(meanAcross[i]!) - disbelief(meanWithin[i]!);
    evidence.forFoot[i] = edges + belief + FOOT_PREFERENCE;
  }
  return evidence;
}
