/**
 * Paper that does not lie flat, taken out of a card's equations.
 *
 * A card's face stands a little higher, leans, or curls; seen from the side that moves its marks by as much as a
 * third of the lift, all together. Four heights of its own (level, two slopes, twist) with a belief about their size
 * describe it. They are eliminated card by card (Schur complement), so that the solve has no more unknowns, and the
 * covariance and the weight of every card are what they are with the heights left open.
 */
import type { PlanePoint } from '../geometry/point.ts';
import { MARK_OFFSET_MM } from './card.ts';
import { huber } from './huber.ts';
import { choleskyFactor, choleskySolve } from './linear-algebra.ts';
import type { Row } from './solve-rows.ts';

/** One-sigma size of each of a card's heights at its marks, mm (judgement: thin paper on a table; no source). */
const LIFT_MM = 0.15;
const MODES = 4;
const ROUNDS = 3;

/** How much each of the heights lifts a point of paper that reaches `reachMm` from its middle. */
function liftBasis({ x, y }: PlanePoint, reachMm: number): readonly number[] {
  const [a, b] = [x / reachMm, y / reachMm];
  return [1, a, b, a * b];
}

/** A point of a card: where it lies on it, and the two rows of its residuals, px. */
export interface LiftedPoint {
  readonly at: PlanePoint;
  readonly sigmaPx: number;
  readonly rows: readonly [Row, Row];
  readonly residuals: readonly [number, number];
}

/** Normal equations of a card's points among the unknowns `index`, its heights eliminated. */
export interface LiftedEquations {
  readonly index: readonly number[];
  readonly data: Float64Array;
  readonly right: Float64Array;
  readonly cost: number;
}

/** Unknown whose derivative is minus that by the point's height: the camera's own height. */
const CENTRE_Z = 5;

/** The heights' own part: what they take of each residual, and the weights under which they were found. */
interface Heights {
  /** Cholesky factor of their normal matrix. */
  readonly factor: Float64Array;
  /** Residuals that they leave. */
  readonly left: Float64Array;
  /** Weight of each point, robust loss included. */
  readonly weights: Float64Array;
  readonly cost: number;
}

/** The heights that fit the residuals best; `lifts` holds the derivatives by the heights, a row for each residual. */
function fitHeights(
  lifts: Float64Array,
  residuals: Float64Array,
  stated: Float64Array,
  belief: number,
): Heights | undefined {
  const left = residuals.slice();
  let weights = stated;
  for (let round = 1; ; round++) {
    const normal = new Float64Array(MODES * MODES);
    const right = new Float64Array(MODES);
    for (let k = 0; k < MODES; k++) normal[k * MODES + k] = belief;
    for (let i = 0; i < residuals.length; i++) {
      const weight = weights[i >> 1]!;
      for (let k = 0; k < MODES; k++) {
        const weighted = weight * lifts[i * MODES + k]!;
        right[k]! += weighted * residuals[i]!;
        for (let j = 0; j <= k; j++) normal[k * MODES + j]! += weighted * lifts[i * MODES + j]!;
      }
    }
    const factor = choleskyFactor(normal, MODES);
    if (!factor) return undefined;
    const heights = choleskySolve(factor, MODES, right);
    let cost = 0;
    for (let k = 0; k < MODES; k++) cost += belief * heights[k]! ** 2;
    for (let i = 0; i < residuals.length; i++) {
      let value = residuals[i]!;
      for (let k = 0; k < MODES; k++) value -= lifts[i * MODES + k]! * heights[k]!;
      left[i] = value;
    }
    const next = stated.slice();
    let isRobust = false;
    for (let p = 0; p < stated.length; p++) {
      const loss = huber(stated[p]! * (left[2 * p]! ** 2 + left[2 * p + 1]! ** 2));
      cost += loss.cost;
      next[p]! *= loss.weight;
      isRobust ||= loss.weight < 1;
    }
    if (round === ROUNDS || (round === 1 && !isRobust)) return { factor, left, weights, cost };
    weights = next;
  }
}

/** Takes what the heights can explain from the normal matrix: mixed^T (L L^T)^-1 mixed. */
function takeExplained(data: Float64Array, mixed: Float64Array, factor: Float64Array, n: number): void {
  // Forward substitution, column by column in place: mixed becomes L^-1 mixed.
  for (let k = 0; k < MODES; k++) {
    for (let j = 0; j < n; j++) {
      let value = mixed[k * n + j]!;
      for (let m = 0; m < k; m++) value -= factor[k * MODES + m]! * mixed[m * n + j]!;
      mixed[k * n + j] = value / factor[k * MODES + k]!;
    }
  }
  for (let k = 0, from = 0; k < MODES; k++, from += n) {
    for (let i = 0, to = 0; i < n; i++, to += n) {
      const explained = mixed[from + i]!;
      for (let j = 0; j <= i; j++) data[to + j]! -= explained * mixed[from + j]!;
    }
  }
}

/**
 * The equations of a card's points with its heights open; `gain` multiplies the stated noise of points and paper
 * alike. All rows must list the same unknowns in the same order. Undefined when a number is out of all bounds.
 */
export function liftedEquations(points: readonly LiftedPoint[], gain: number): LiftedEquations | undefined {
  const index = points[0]!.rows[0].index;
  const n = index.length;
  const centreZ = index.indexOf(CENTRE_Z);
  const reachMm = Math.max(
    MARK_OFFSET_MM,
    ...points.map(({ at }) => Math.max(Math.abs(at.x), Math.abs(at.y))),
  );
  // One flat block: these are the solve's innermost sums.
  const count = 2 * points.length;
  const rows = new Float64Array(count * n);
  points.forEach((point, p) => point.rows.forEach((row, k) => rows.set(row.value, (2 * p + k) * n)));
  const residuals = Float64Array.from(points.flatMap((point) => point.residuals));
  const stated = Float64Array.from(points, ({ sigmaPx }) => 1 / (sigmaPx * gain) ** 2);
  const lifts = new Float64Array(count * MODES);
  points.forEach(({ at }, p) => {
    liftBasis(at, reachMm).forEach((basis, k) => {
      lifts[2 * p * MODES + k] = -rows[2 * p * n + centreZ]! * basis;
      lifts[(2 * p + 1) * MODES + k] = -rows[(2 * p + 1) * n + centreZ]! * basis;
    });
  });
  const heights = fitHeights(lifts, residuals, stated, 1 / (LIFT_MM * gain) ** 2);
  if (!heights) return undefined;
  const data = new Float64Array(n * n);
  const mixed = new Float64Array(MODES * n);
  const right = new Float64Array(n);
  for (let r = 0; r < count; r++) {
    const weight = heights.weights[r >> 1]!;
    const from = r * n;
    const left = heights.left[r]!;
    for (let i = 0, to = 0; i < n; i++, to += n) {
      const weighted = weight * rows[from + i]!;
      right[i]! += weighted * left;
      for (let j = 0; j <= i; j++) data[to + j]! += weighted * rows[from + j]!;
      for (let k = 0; k < MODES; k++) mixed[k * n + i]! += weighted * lifts[r * MODES + k]!;
    }
  }
  takeExplained(data, mixed, heights.factor, n);
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) data[i * n + j] = data[j * n + i]!;
  return { index, data, right, cost: heights.cost };
}
