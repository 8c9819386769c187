import { median } from '../geometry/median.ts';
import { trackBack } from './track-back.ts';
import type { Raster } from '../vision/raster.ts';
import { type Clearance, clearances } from './clearance.ts';
import { wrap } from './contour.ts';
import { openTableLight } from './open-table.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { type Reading, readNarrowWall, readWideWall, type Unevenness, WIDE_WALL_PX } from './wall-costs.ts';
import {
  type LineOfPart,
  lineOfPart,
  newWallProfile,
  PLANES,
  readWallProfile,
  type WallProfile,
} from './wall-profile.ts';
import { learnWallLaw, strayingCost } from './wall-law.ts';
import { skewAt, type WallView, wallPxAt } from './wall-view.ts';

/** Walls narrower than this are edge-on: both edges are one. */
export const NARROWEST_WALL_PX = 1.2;
/** How far beyond the readings of the traced edge the top edge is looked for, and pixels beyond that, px. */
const MARGIN_PX = 4;
const BESIDE_PX = 7;
/** Another stretch of the contour is blurred this far, px. */
const BLUR_REACH_PX = 3;
/** Profiles lean no further than this: narrow walls need no more. */
const MOST_STRIP_SKEW = 1;
/** Places tried lie this far apart, px. */
const STEP_PX = 0.5;
/** Misfit is shared by neighbouring pixels, planes and samples: it counts this much. */
const TEMPER = 0.06;
/** One sample says no more than this against a place; places out of reach cost more. */
const MOST_SAYING = 5;
const OUT_OF_REACH = 8;
/** Cost of moving by one step between neighbouring samples, and of jumping anywhere. */
const MOVE_COST = 0.15;
const JUMP_COST = 7;

/** A wall is of the face's stuff and less well lit as a rule: its light over the face's, as a logarithm. */
const USUAL_WALL = -0.7;
const USUAL_SPREAD = 0.7;
const MOST_DISBELIEF = 1.2;
/** Brighter than its face by more than this (log), a wall is hard to believe: board with a white core has one. */
const BRIGHTER_WALL = 0.3;
const BRIGHT_DISBELIEF = 2.5;
/** Still more so when the table beyond looks the same: then it is the table, and the foot was traced. */
const SAME_AS_TABLE = 0.2;
const TABLE_DISBELIEF = 12;
/** Where the table beside the foot lies in the piece's shadow (log of light lost from here on), the wall is unlit too. */
const SHADOW = 0.25;
const UNLIT_WALL = -0.5;
const CONTRADICTION = 1.5;
/** A change of hue at the top edge: the whole of this is half a disbelief. */
const HUE_CHANGE = 0.4;

const share = (value: number): number => Math.min(1, Math.max(0, value));

/** How hard a reading is to believe by what walls look like, given the table's light away from the piece. */
function disbelief({ wallOverFace, hueChange, tableLight, wallLight }: Reading, openTable: number): number {
  const light = 0.5 * ((wallOverFace - USUAL_WALL) / USUAL_SPREAD) ** 2;
  const unlikeTable = Math.min(Math.abs(tableLight - wallLight), Math.abs(openTable - wallLight));
  const shadowed = share(openTable - tableLight - SHADOW) * share((wallOverFace - UNLIT_WALL) / 0.4);
  return (
    0.5 * Math.min(MOST_DISBELIEF, light) +
    0.5 * share(hueChange / HUE_CHANGE) +
    (unlikeTable < SAME_AS_TABLE ? TABLE_DISBELIEF : BRIGHT_DISBELIEF) * share(wallOverFace - BRIGHTER_WALL) +
    CONTRADICTION * shadowed
  );
}

/** Everything about one contour that the reading of its walls shares. */
interface Walls {
  /** The traced edge is the top edge already, where it was known: the foot is not thought of. */
  readonly isTop: boolean;
  readonly photo: Raster;
  readonly edge: RefinedEdge;
  readonly view: WallView;
  readonly clear: Clearance;
  readonly profile: WallProfile;
}

/** Reads the profile of sample `i`, no further than to another stretch of the contour. */
function readSample({ photo, edge, view, clear, profile }: Walls, i: number): void {
  const reach = Math.ceil(wallPxAt(view, i) + MARGIN_PX + BESIDE_PX);
  const inward = Math.min(reach, Math.floor(clear.inwardPx[i]! - BLUR_REACH_PX));
  const outward = Math.min(reach, Math.floor(clear.outwardPx[i]! - BLUR_REACH_PX));
  const [u, v, nu, nv] = [edge.u[i]!, edge.v[i]!, edge.normalU[i]!, edge.normalV[i]!];
  const skew = Math.max(-MOST_STRIP_SKEW, Math.min(MOST_STRIP_SKEW, skewAt(view, edge, i)));
  readWallProfile(photo, u, v, nu, nv, skew, -inward, outward, profile);
}

const middleOf = (values: readonly number[], fallback: number): number =>
  values.length === 0 ? fallback : median(values);

/** Every n-th sample is plenty to learn how uneven face and table are. */
const UNEVEN_STRIDE = 4;
const LEAST_UNEVEN = [0.012, 0.015, 0.015];

/** How uneven face and table are beside the walls of a contour: medians over its samples. */
function measureUnevenness(walls: Walls, facing: readonly number[]): Unevenness {
  const line: LineOfPart = { count: 0, misfit: 0, atFirst: 0, atLast: 0 };
  const face = LEAST_UNEVEN.map((): number[] => []);
  const table = LEAST_UNEVEN.map((): number[] => []);
  for (let k = 0; k < facing.length; k += UNEVEN_STRIDE) {
    const i = facing[k]!;
    readSample(walls, i);
    const wallPx = wallPxAt(walls.view, i);
    for (let p = 0; p < PLANES; p++) {
      lineOfPart(walls.profile, p, walls.profile.first, -wallPx - 2, line);
      if (line.count > 4) face[p]!.push(Math.sqrt(line.misfit / (line.count - 2)));
      lineOfPart(walls.profile, p, wallPx + 2, walls.profile.last, line);
      if (line.count > 4) table[p]!.push(Math.sqrt(line.misfit / (line.count - 2)));
    }
  }
  return {
    face: face.map((values, p) => Math.max(LEAST_UNEVEN[p]!, middleOf(values, 0.03))),
    table: table.map((values, p) => Math.max(LEAST_UNEVEN[p]!, middleOf(values, 0.05))),
  };
}

/** Costs of all places of the top edge at all samples, and what the wall's light would be there. */
interface Costs {
  readonly states: number;
  readonly lowPx: number;
  readonly cost: Float32Array;
  readonly wallOverFace: Float32Array;
}

function readCosts(walls: Walls, widest: number): Costs {
  const { edge, view, profile } = walls;
  const count = edge.u.length;
  const lowPx = -MARGIN_PX - (walls.isTop ? 0 : Math.ceil(widest));
  const states = Math.round((MARGIN_PX - lowPx) / STEP_PX) + 1;
  const cost = new Float32Array(count * states).fill(OUT_OF_REACH);
  const wallOverFace = new Float32Array(count * states);
  const facing = Array.from({ length: count }, (_, i) => i).filter(
    (i) => wallPxAt(view, i) >= NARROWEST_WALL_PX,
  );
  const uneven = measureUnevenness(walls, facing);
  const openTable = openTableLight(walls.photo, edge, walls.clear);
  const reading: Reading = { misfit: 0, wallOverFace: 0, hueChange: 0, tableLight: 0, wallLight: 0 };
  for (let i = 0; i < count; i++) {
    const wallPx = Math.max(0, wallPxAt(view, i));
    const furthest = walls.isTop ? 0 : wallPx;
    const from = Math.max(0, Math.ceil((-furthest - MARGIN_PX - lowPx) / STEP_PX));
    if (wallPx < NARROWEST_WALL_PX) {
      cost.fill(0, i * states + from, (i + 1) * states);
      continue;
    }
    readSample(walls, i);
    const read = wallPx < WIDE_WALL_PX ? readNarrowWall : readWideWall;
    let least = Infinity;
    for (let s = from; s < states; s++) {
      read(profile, lowPx + s * STEP_PX, wallPx, edge.sigmaPx, uneven, reading);
      const value = TEMPER * reading.misfit + disbelief(reading, openTable);
      cost[i * states + s] = value;
      wallOverFace[i * states + s] = reading.wallOverFace;
      least = Math.min(least, value);
    }
    for (let s = from; s < states; s++) {
      cost[i * states + s] = Math.min(MOST_SAYING, cost[i * states + s]! - least);
    }
  }
  const costs = { states, lowPx, cost, wallOverFace };
  applyLaw(costs, walls, facing);
  return costs;
}

/** Every n-th sample is plenty to learn how a piece's walls are lit. */
const LAW_STRIDE = 3;

/** Learns how the piece's walls are lit from all readings together, and holds each of them to that. */
function applyLaw({ states, cost, wallOverFace }: Costs, { edge }: Walls, facing: readonly number[]): void {
  const azimuth = (i: number) => Math.atan2(edge.normalV[i]!, edge.normalU[i]!);
  const taught = facing.filter((_, k) => k % LAW_STRIDE === 0);
  const pick = (from: Float32Array) => {
    const picked = new Float32Array(taught.length * states);
    for (const [k, i] of taught.entries())
      picked.set(from.subarray(i * states, (i + 1) * states), k * states);
    return picked;
  };
  const law = learnWallLaw({
    azimuthRad: Float64Array.from(taught, azimuth),
    states,
    cost: pick(cost),
    wallOverFace: pick(wallOverFace),
  });
  if (!law) return;
  for (const i of facing) {
    const expected = law(azimuth(i));
    let least = Infinity;
    for (let at = i * states; at < (i + 1) * states; at++) {
      if (cost[at]! >= OUT_OF_REACH) continue;
      cost[at]! += strayingCost(wallOverFace[at]! - expected);
      least = Math.min(least, cost[at]!);
    }
    for (let at = i * states; at < (i + 1) * states; at++) {
      if (cost[at]! < OUT_OF_REACH) cost[at] = Math.min(MOST_SAYING, cost[at]! - least);
    }
  }
}

/** The cheapest places, neighbours together: dynamic programming, twice round so that the start has no say. */
function cheapestTrack({ states, cost }: Costs, wallStates: Float64Array): Int32Array {
  const count = wallStates.length;
  const from = new Int16Array(2 * count * states);
  let total = new Float64Array(states);
  let next = new Float64Array(states);
  for (let k = 0; k < 2 * count; k++) {
    const i = k % count;
    const before = wallStates[wrap(i - 1, count)]!;
    // Where the foot was traced, the top edge moves as the wall widens.
    const follow = Math.round(before - wallStates[i]!);
    let cheapest = 0;
    for (let s = 1; s < states; s++) if (total[s]! < total[cheapest]!) cheapest = s;
    // Out of sight nothing is known: where a wall comes into view its reading begins afresh.
    const jump = total[cheapest]! + (before < NARROWEST_WALL_PX / STEP_PX ? 0 : JUMP_COST);
    let least = Infinity;
    for (let s = 0; s < states; s++) {
      let best = jump;
      let origin = cheapest;
      // Still, or a step or two away; then the same about where the foot would take it.
      for (let m = 0; m < (follow === 0 ? 5 : 8); m++) {
        const move = m < 5 ? m - 2 : m - 6;
        const state = s + move - (m < 5 ? 0 : follow);
        if (state < 0 || state >= states) continue;
        const value = total[state]! + MOVE_COST * Math.abs(move);
        if (value >= best) continue;
        best = value;
        origin = state;
      }
      next[s] = best + cost[i * states + s]!;
      from[k * states + s] = origin;
      if (next[s]! < least) least = next[s]!;
    }
    for (let s = 0; s < states; s++) next[s]! -= least;
    [total, next] = [next, total];
  }
  return trackBack(from, total, count);
}

/**
 * Where the top edge of the side walls that show lies from each traced place along its normal, px: 0 where no wall
 * shows. Whole stretches are judged together. `isTop`: the edge given is the top edge already, but for small errors.
 */
export function trackWalls(photo: Raster, edge: RefinedEdge, view: WallView, isTop: boolean): Float64Array {
  const count = edge.u.length;
  const wallPx = Float64Array.from({ length: count }, (_, i) => Math.max(0, wallPxAt(view, i)));
  const widest = wallPx.reduce((a, b) => Math.max(a, b), 0);
  const topPx = new Float64Array(count);
  if (widest < NARROWEST_WALL_PX) return topPx;
  const reach = widest + MARGIN_PX + BESIDE_PX;
  const normals = { u: edge.normalU, v: edge.normalV };
  const walls: Walls = {
    isTop,
    photo,
    edge,
    view,
    clear: clearances(edge, normals, reach + BLUR_REACH_PX),
    profile: newWallProfile(reach + 1),
  };
  const costs = readCosts(walls, widest);
  const track = cheapestTrack(
    costs,
    wallPx.map((width) => width / STEP_PX),
  );
  for (let i = 0; i < count; i++) {
    if (wallPx[i]! < NARROWEST_WALL_PX) continue;
    topPx[i] = costs.lowPx + track[i]! * STEP_PX;
  }
  return topPx;
}
