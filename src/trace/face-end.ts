import { trackBack } from './track-back.ts';
import type { Raster } from '../vision/raster.ts';
import { type Contour, wrap } from './contour.ts';
import {
  type FaceTone,
  learnFace,
  type Look,
  lookInside,
  OUTWARD_PX,
  readSample,
  stepsAt,
  unlikeFace,
} from './face-tone.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { PLANES, type WallProfile } from './wall-profile.ts';
import { NARROWEST_WALL_PX } from './wall-track.ts';
import type { WallView } from './wall-view.ts';

/** Blur, sharpening and the JPEG let this much of the step at the face's end bleed into the places before it. */
const BLEED = [0.25, 0.12, 0.06, 0.03, 0.015, 0.01];
/** Places are no independent witnesses: they count this much. */
const TEMPER = 0.12;
/** Cost of moving by one place between neighbouring samples, and of jumping anywhere. */
const MOVE_COST = 0.25;
const JUMP_COST = 8;
const OUT_OF_REACH = 1e3;

/** A traced place lies outside the piece when it does so by this, px, and what is between is this unlike the face. */
const LEAST_OUTSIDE_PX = 1;
const LEAST_UNLIKE = 1;
/** It may be brighter than the table beyond by this at most (log): shadow is darker, but for grain. */
const MOST_BRIGHTER = 0.3;
/** Hues (log ratios) must differ by this to tell table from wall. */
const LEAST_HUE = 0.1;
/** Within this of edge-on, upright edges of the piece are in view, unless they are shorter than this, px. */
const EDGE_ON = 0.12;
const SHORT_LEAN_PX = 8;
/** Samples either way that are looked at together, and how many of all must lie outside. */
const STRETCH = 8;
const LEAST_AGREE = 3;
/** The edge lies this far inside the first place that is no longer the face, px. */
const END_LIES_PX = 1;
const NO_STEPS = new Float64Array(PLANES);

/** A contour drawn off its piece's shadow: 1 at the samples that lie in it. */
export interface DrawnContour extends Contour {
  readonly shaded: Uint8Array;
}

/** Cost of the face ending at each place from `-reachPx` to OUTWARD_PX, for all samples. */
function readCosts(look: Look, face: FaceTone, states: number): Float32Array {
  const count = look.edge.u.length;
  const cost = new Float32Array(count * states).fill(OUT_OF_REACH);
  const { reachPx, profile } = look;
  const steps = new Float64Array(PLANES);
  for (let i = 0; i < count; i++) {
    readSample(look, i);
    let sum = 0;
    for (let end = Math.max(-reachPx, profile.first); end <= Math.min(OUTWARD_PX, profile.last); end++) {
      // The face reaches up to before its end; that place itself and what follows is something else.
      stepsAt(profile, face, i, Math.min(profile.last, end + 1), steps);
      let near = 0;
      for (const [k, bleeds] of BLEED.entries()) {
        const x = end - 1 - k;
        if (x >= profile.first) near += unlikeFace(profile, face, i, x, bleeds, steps);
      }
      const deep = end - 1 - BLEED.length;
      if (deep >= profile.first) sum += unlikeFace(profile, face, i, deep, 0, steps);
      cost[i * states + end + reachPx] = TEMPER * (sum + near);
    }
  }
  return cost;
}

/** The cheapest places, neighbours together, twice round so that the start has no say. */
function cheapest(cost: Float32Array, count: number, states: number): Int32Array {
  const from = new Int16Array(2 * count * states);
  let total = new Float64Array(states);
  let next = new Float64Array(states);
  for (let k = 0; k < 2 * count; k++) {
    const i = k % count;
    let least = 0;
    for (let s = 1; s < states; s++) if (total[s]! < total[least]!) least = s;
    const floor = total[least]!;
    for (let s = 0; s < states; s++) {
      let best = floor + JUMP_COST;
      let origin = least;
      for (let move = -2; move <= 2; move++) {
        const value = (total[s + move] ?? Infinity) + MOVE_COST * Math.abs(move);
        if (value < best) [best, origin] = [value, s + move];
      }
      next[s] = best + cost[i * states + s]! - floor;
      from[k * states + s] = origin;
    }
    [total, next] = [next, total];
  }
  return trackBack(from, total, count);
}

/** Whether a sample's wall shows, or an upright edge of the piece may lie there, which runs along the lean. */
function mayShowWall(view: WallView, i: number): boolean {
  const facing = view.facing[i]!;
  const leanPx = view.leanPx[i]!;
  return facing > (leanPx < SHORT_LEAN_PX ? Math.max(EDGE_ON, NARROWEST_WALL_PX / leanPx) : -EDGE_ON);
}

/** Mean of a plane from `from` to `to` px along the normal. */
function levelOf({ sums, first }: WallProfile, p: number, from: number, to: number): number {
  return (sums[p]![to - first + 1]! - sums[p]![from - first]!) / (to - from + 1);
}

/** Whether a contour was traced outside its piece at a sample, on the rim of its shadow, when the face ends at `end` px. */
function isOutside(look: Look, face: FaceTone, i: number, end: number): boolean {
  const { profile } = look;
  if (end > -LEAST_OUTSIDE_PX) return false;
  readSample(look, i);
  if (end < profile.first || profile.last < 1) return false;
  let unlike = 0;
  for (let x = end; x < 0; x++) unlike += unlikeFace(profile, face, i, x, 0, NO_STEPS) / -end;
  if (unlike < LEAST_UNLIKE) return false;
  // Shadow has the table's hue, a wall that of the face; it is no brighter than the table beyond.
  const [between, beyond, fromFace] = [
    new Float64Array(PLANES),
    new Float64Array(PLANES),
    new Float64Array(PLANES),
  ];
  for (let p = 0; p < PLANES; p++) {
    between[p] = levelOf(profile, p, end, -1);
    beyond[p] = levelOf(profile, p, Math.min(2, profile.last), profile.last);
    fromFace[p] = face.levels[p]![i]!;
  }
  const apart = (a: Float64Array, b: Float64Array) => Math.hypot(a[1]! - b[1]!, a[2]! - b[2]!);
  if (apart(beyond, fromFace) > LEAST_HUE && apart(between, beyond) > apart(between, fromFace)) return false;
  return between[0]! - beyond[0]! < MOST_BRIGHTER;
}

/** The samples about which some lie on the rim of the piece's shadow: 1 there. */
function findShaded(look: Look, view: WallView, face: FaceTone, ends: Int32Array): Uint8Array {
  const outside = ends.map((end, i) => (!mayShowWall(view, i) && isOutside(look, face, i, end) ? 1 : 0));
  return Uint8Array.from(ends, (_, i) => {
    if (mayShowWall(view, i)) return 0;
    let agree = 0;
    for (let k = -STRETCH; k <= STRETCH; k++) agree += outside[wrap(i + k, ends.length)]!;
    return agree >= LEAST_AGREE ? 1 : 0;
  });
}

/**
 * Draws a traced contour in to where its face ends, where it was traced on the rim of the piece's own shadow. A thick
 * piece stands in its shadow, and beside a dark face the rim can be the clearer edge. The face has one tone, learned
 * deep inside and followed along the contour: it ends where the picture leaves that tone for good. Sides whose wall
 * shows are left to the reading of walls. Undefined where no shadow was traced.
 */
export function drawToFace(
  photo: Raster,
  edge: RefinedEdge,
  view: WallView,
  reachPx: number,
): DrawnContour | undefined {
  const look = lookInside(photo, edge, reachPx);
  const face = learnFace(look);
  if (!face) return undefined;
  const states = reachPx + OUTWARD_PX + 1;
  const track = cheapest(readCosts(look, face, states), edge.u.length, states);
  const ends = track.map((state) => state - reachPx);
  const shaded = findShaded(look, view, face, ends);
  if (!shaded.includes(1)) return undefined;
  const depths = ends.map((end, i) => (shaded[i] === 1 ? END_LIES_PX - end : 0));
  return {
    u: edge.u.map((u, i) => u - depths[i]! * edge.normalU[i]!),
    v: edge.v.map((v, i) => v - depths[i]! * edge.normalV[i]!),
    shaded,
  };
}

/** For each sample of another contour of the same edge, whether the nearest one of the drawn contour was shaded. */
export function shadedLike(drawn: DrawnContour, { u, v }: Contour): Uint8Array {
  const { u: fromU, v: fromV, shaded } = drawn;
  return Uint8Array.from(u, (atU, i) => {
    let nearest = 0;
    let least = Infinity;
    for (let k = 0; k < fromU.length; k++) {
      const away = (fromU[k]! - atU) ** 2 + (fromV[k]! - v[i]!) ** 2;
      if (away < least) [least, nearest] = [away, k];
    }
    return shaded[nearest]!;
  });
}
