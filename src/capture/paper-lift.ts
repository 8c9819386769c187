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

/** A point of a card: where it lies on it, and how it is seen. */
export interface LiftedPoint {
  readonly at: PlanePoint;
  readonly sigmaPx: number;
  /** What is seen less what the flat card shows, px; its derivatives by the unknowns; and by the paper's height, px/mm. */
  readonly residuals: readonly [number, number];
  readonly rows: readonly [Row, Row];
  readonly byHeight: readonly [number, number];
}

/** Normal equations of a card's points among the unknowns `index`, its heights eliminated. */
export interface LiftedEquations {
  readonly index: readonly number[];
  readonly data: Float64Array;
  readonly right: Float64Array;
  readonly cost: number;
}

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

/** Takes what the heights can explain from the lower normal matrix: mixed (L L^T)^-1 mixed^T, `mixed` n x MODES. */
function takeExplained(data: Float64Array, mixed: Float64Array, factor: Float64Array, n: number): void {
  for (let i = 0; i < n; i++) {
    const from = i * MODES;
    // Forward substitution in place: the row becomes that of mixed L^-T.
    for (let k = 0; k < MODES; k++) {
      let value = mixed[from + k]!;
      for (let m = 0; m < k; m++) value -= factor[k * MODES + m]! * mixed[from + m]!;
      mixed[from + k] = value / factor[k * MODES + k]!;
    }
    const [m0, m1, m2, m3] = [mixed[from]!, mixed[from + 1]!, mixed[from + 2]!, mixed[from + 3]!];
    for (let j = 0, at = 0; j <= i; j++, at += MODES) {
      data[i * n + j]! -= m0 * mixed[at]! + m1 * mixed[at + 1]! + m2 * mixed[at + 2]! + m3 * mixed[at + 3]!;
    }
  }
}

/** A card's points in flat blocks, since these are the solve's innermost sums. */
interface Block {
  /** Derivatives by the unknowns, and by the heights, a row for each residual. */
  readonly rows: Float64Array;
  readonly lifts: Float64Array;
  readonly residuals: Float64Array;
  /** Stated weight of each point. */
  readonly stated: Float64Array;
}

function blockOf(points: readonly LiftedPoint[], n: number, gain: number): Block {
  let reachMm = MARK_OFFSET_MM;
  for (const { at } of points) reachMm = Math.max(reachMm, Math.abs(at.x), Math.abs(at.y));
  const rows = new Float64Array(2 * points.length * n);
  const lifts = new Float64Array(2 * points.length * MODES);
  const residuals = new Float64Array(2 * points.length);
  const stated = new Float64Array(points.length);
  for (let p = 0; p < points.length; p++) {
    const point = points[p]!;
    const [a, b] = [point.at.x / reachMm, point.at.y / reachMm];
    stated[p] = 1 / (point.sigmaPx * gain) ** 2;
    for (let k = 0; k < 2; k++) {
      const r = 2 * p + k;
      const { value } = point.rows[k]!;
      for (let i = 0; i < n; i++) rows[r * n + i] = value[i]!;
      residuals[r] = point.residuals[k]!;
      // Lifted as a whole, along and across, and twisted.
      const lift = point.byHeight[k]!;
      lifts[r * MODES] = lift;
      lifts[r * MODES + 1] = lift * a;
      lifts[r * MODES + 2] = lift * b;
      lifts[r * MODES + 3] = lift * a * b;
    }
  }
  return { rows, lifts, residuals, stated };
}

/**
 * The equations of a card's points with its heights open; `gain` multiplies the stated noise of points and paper
 * alike. All rows must list the same unknowns in the same order. Undefined when a number is out of all bounds.
 */
export function liftedEquations(points: readonly LiftedPoint[], gain: number): LiftedEquations | undefined {
  const { index } = points[0]!.rows[0];
  const n = index.length;
  const { rows, lifts, residuals, stated } = blockOf(points, n, gain);
  const heights = fitHeights(lifts, residuals, stated, 1 / (LIFT_MM * gain) ** 2);
  if (!heights) return undefined;
  const data = new Float64Array(n * n);
  const mixed = new Float64Array(n * MODES);
  const right = new Float64Array(n);
  for (let r = 0; r < residuals.length; r++) {
    const weight = heights.weights[r >> 1]!;
    const from = r * n;
    const left = heights.left[r]!;
    for (let i = 0, to = 0; i < n; i++, to += n) {
      const weighted = weight * rows[from + i]!;
      right[i]! += weighted * left;
      for (let j = 0; j <= i; j++) data[to + j]! += weighted * rows[from + j]!;
      for (let k = 0; k < MODES; k++) mixed[i * MODES + k]! += weighted * lifts[r * MODES + k]!;
    }
  }
  takeExplained(data, mixed, heights.factor, n);
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) data[i * n + j] = data[j * n + i]!;
  return { index, data, right, cost: heights.cost };
}
