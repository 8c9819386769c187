import { NORMAL, setNormal } from './normal-curve.ts';
import { addObservation, clearEquations, drawToZero, newEquations, solveSmall } from './small-equations.ts';

/** A thick piece's narrow side wall in a strip: face, wall and table with two blurred edges a known width apart. */
export interface WallFit {
  /** Place of the top edge along the normal, px; the foot lies one wall's width further out. */
  readonly top: number;
  /** Weighted mean square misfit: 1 when the model explains the pixels to their noise. */
  readonly misfit: number;
  /** Levels of the face, the wall and the table. */
  readonly face: number;
  readonly wall: number;
  readonly table: number;
}

/** Levels of face, wall and table, slope of the table's, and the step of the top edge. */
const UNKNOWNS = 5;
const SLOPE_RIDGE = 15;
const ROUNDS = 8;
const CLOSE_ENOUGH_PX = 5e-3;
/** Noise of a pixel in linear light: a floor, and a share of its level, as sensors have (from memory). */
const NOISE_FLOOR = 0.004;
const NOISE_SHARE = 0.02;

const equations = newEquations();
const { row, right } = equations;

/** Coefficients of the three levels and the table's slope, x px outside the top edge; `bells` takes both edges' slopes. */
function setRow(x: number, wallPx: number, sigmaPx: number, bells: Float64Array): void {
  setNormal(x / sigmaPx);
  const above = NORMAL.distribution;
  bells[0] = NORMAL.density / sigmaPx;
  setNormal((x - wallPx) / sigmaPx);
  const beyond = NORMAL.distribution;
  bells[1] = NORMAL.density / sigmaPx;
  row[0] = 1 - above;
  row[1] = above - beyond;
  row[2] = beyond;
  row[3] = (x - wallPx) * beyond + sigmaPx * NORMAL.density;
}

const bells = new Float64Array(2);

/**
 * Fits the wall to `count` values at signed distances (px, outward positive), the top edge starting at `topStart` and
 * moving no more than `searchPx`. Undefined when it moves further or the pixels do not settle it.
 */
export function fitWall(
  distance: Float64Array,
  value: Float64Array,
  count: number,
  topStart: number,
  wallPx: number,
  sigmaPx: number,
  searchPx: number,
): WallFit | undefined {
  let top = topStart;
  let face = 0;
  let wall = 0;
  let table = 0;
  let slope = 0;
  let misfit = 0;
  for (let round = 0; round <= ROUNDS; round++) {
    clearEquations(equations);
    const unknowns = round === 0 ? 4 : UNKNOWNS;
    misfit = 0;
    for (let i = 0; i < count; i++) {
      setRow(distance[i]! - top, wallPx, sigmaPx, bells);
      const weight = 1 / (NOISE_FLOOR + NOISE_SHARE * Math.abs(value[i]!)) ** 2;
      const rest = value[i]! - face * row[0]! - wall * row[1]! - table * row[2]! - slope * row[3]!;
      misfit += weight * rest * rest;
      row[4] = -((wall - face) * bells[0]! + (table - wall) * bells[1]! + slope * row[2]!);
      addObservation(equations, unknowns, value[i]!, weight);
    }
    // The weights are about 1 / noise^2, so the ridge is scaled alike.
    drawToZero(equations, 3, SLOPE_RIDGE / (NOISE_FLOOR + NOISE_SHARE * Math.abs(table)) ** 2);
    if (unknowns === UNKNOWNS) drawToZero(equations, 4, 1e-6);
    if (!solveSmall(equations, unknowns)) return undefined;
    face = right[0]!;
    wall = right[1]!;
    table = right[2]!;
    slope = right[3]!;
    if (round === 0) continue;
    const step = Math.max(-1, Math.min(1, right[4]!));
    if (Math.abs(step) < CLOSE_ENOUGH_PX) break;
    top += step;
    if (!(Math.abs(top - topStart) <= searchPx)) return undefined;
  }
  return { top, misfit: misfit / Math.max(1, count - UNKNOWNS), face, wall, table };
}
