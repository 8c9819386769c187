import { setNormal, NORMAL } from './normal-curve.ts';
import { addObservation, clearEquations, drawToZero, newEquations, solveSmall } from './small-equations.ts';
import { type LineOfPart, lineOfPart, PLANES, type WallProfile } from './wall-profile.ts';

/** How much face and table vary by themselves, one sigma a pixel of the profile, for each plane. */
export interface Unevenness {
  readonly face: readonly number[];
  readonly table: readonly number[];
}

/** What a reading of the profile with the top edge at one place costs, and the wall's light as it would be. */
export interface Reading {
  misfit: number;
  /** Logarithms: light of the wall over that of the face, the change of hue there, and the light of table and wall at the foot. */
  wallOverFace: number;
  hueChange: number;
  tableLight: number;
  wallLight: number;
}

/** Walls from here on have pixels of their own between two blurred edges. */
export const WIDE_WALL_PX = 5.5;
/** Pixels this many blurs from an edge are level. */
const BLURS_AWAY = 1.8;
/** Misfit of one part in one plane counts no further: the table shows shadow and grain, the face seldom more than a mark. */
const MOST_FACE = 3000;
const MOST_TABLE = 400;

/** Light of a table that the profile does not reach. */
const UNSEEN = Infinity;

const faceLine: LineOfPart = { count: 0, misfit: 0, atFirst: 0, atLast: 0 };
const wallLine: LineOfPart = { ...faceLine };
const tableLine: LineOfPart = { ...faceLine };

/** Noise of one place of the profile, as a logarithm, at a level of light: photon and read noise over some four pixels (from memory). */
function noiseOfLog(logLight: number): number {
  const light = Math.exp(logLight);
  return (0.5 * Math.sqrt(1.5e-5 + 4e-4 * light)) / light;
}

/** Hue is the difference of two channels, and coarser in a JPEG. */
const HUE_NOISE = 1.5;

function partCost(line: LineOfPart, sigma: number, most: number): number {
  // The last term prefers the smooth explanation of what is smooth: a wall beside a table with grain.
  const expected = Math.max(0, line.count - 2);
  return Math.min(most, line.misfit / (sigma * sigma) - expected) + 2 * expected * Math.log(sigma);
}

/** A wide wall: face, wall and table each a straight line in every plane, the blurred pixels between left out. */
export function readWideWall(
  profile: WallProfile,
  top: number,
  wallPx: number,
  sigmaPx: number,
  uneven: Unevenness,
  into: Reading,
): void {
  const gap = BLURS_AWAY * Math.max(0.7, sigmaPx);
  into.misfit = 0;
  into.hueChange = 0;
  let noise = 0;
  for (let p = 0; p < PLANES; p++) {
    lineOfPart(profile, p, profile.first, top - gap, faceLine);
    lineOfPart(profile, p, top + gap, top + wallPx - gap, wallLine);
    lineOfPart(profile, p, top + wallPx + gap, profile.last, tableLine);
    const own = uneven.face[p]!;
    if (p === 0) noise = noiseOfLog((wallLine.atFirst + wallLine.atLast) / 2);
    into.misfit += partCost(faceLine, own, MOST_FACE) + partCost(tableLine, uneven.table[p]!, MOST_TABLE);
    into.misfit += partCost(wallLine, Math.hypot(own, p === 0 ? noise : HUE_NOISE * noise), MOST_FACE);
    const step = wallLine.count > 0 && faceLine.count > 0 ? wallLine.atFirst - faceLine.atLast : 0;
    if (p === 0) {
      into.wallOverFace = step;
      into.tableLight = tableLine.count > 0 ? tableLine.atFirst : UNSEEN;
      into.wallLight = wallLine.count > 0 ? wallLine.atLast : -UNSEEN;
    } else into.hueChange += Math.abs(step);
  }
}

const equations = newEquations();
const { row, right } = equations;
const LEAST_LEVEL = 0.004;
/** Levels of face, wall and table, and slopes of face and table. */
const UNKNOWNS = 5;

/** A narrow wall: two blurred edges `wallPx` apart in linear light, fitted in all three channels. */
export function readNarrowWall(
  profile: WallProfile,
  top: number,
  wallPx: number,
  sigmaPx: number,
  uneven: Unevenness,
  into: Reading,
): void {
  const size = profile.last - profile.first + 1;
  into.misfit = 0;
  const faces = [0, 0, 0];
  const walls = [0, 0, 0];
  let tableLight = 0;
  for (let p = 0; p < PLANES; p++) {
    const plane = profile.linear[p]!;
    clearEquations(equations);
    let squares = 0;
    for (let k = 0; k < size; k++) {
      const place = profile.first + k;
      const x = place - top;
      setNormal(x / sigmaPx);
      const [above, aboveBell] = [NORMAL.distribution, NORMAL.density];
      setNormal((x - wallPx) / sigmaPx);
      const [beyond, beyondBell] = [NORMAL.distribution, NORMAL.density];
      row[0] = 1 - above;
      row[1] = above - beyond;
      row[2] = beyond;
      row[3] = x * (1 - above) - sigmaPx * aboveBell;
      row[4] = (x - wallPx) * beyond + sigmaPx * beyondBell;
      const value = plane[k]!;
      const own = place < -wallPx / 2 ? uneven.face[0]! : uneven.table[0]!;
      const weight = 1 / (1.5e-5 + 4e-4 * value + (own * value) ** 2);
      squares += weight * value * value;
      addObservation(equations, UNKNOWNS, value, weight);
    }
    for (let r = 0; r < UNKNOWNS; r++) rightBefore[r] = right[r]!;
    drawToZero(equations, 3, 1);
    drawToZero(equations, 4, 1);
    drawToZero(equations, 1, 1e-3);
    if (!solveSmall(equations, UNKNOWNS)) continue;
    // The least sum of squares is what the solution leaves of the values' own.
    let explained = 0;
    for (let r = 0; r < UNKNOWNS; r++) explained += right[r]! * rightBefore[r]!;
    into.misfit += Math.max(0, squares - explained);
    faces[p] = Math.log(Math.max(0, right[0]!) + LEAST_LEVEL);
    walls[p] = Math.log(Math.max(0, right[1]!) + LEAST_LEVEL);
    tableLight += Math.log(Math.max(0, right[2]!) + LEAST_LEVEL) / PLANES;
  }
  const steps = walls.map((wall, p) => wall - faces[p]!);
  into.wallOverFace = (steps[0]! + steps[1]! + steps[2]!) / 3;
  into.tableLight = tableLight;
  into.wallLight = (walls[0]! + walls[1]! + walls[2]!) / PLANES;
  into.hueChange = Math.abs(steps[0]! - steps[1]!) + Math.abs(steps[2]! - steps[1]!);
}

const rightBefore = new Float64Array(UNKNOWNS);
