/** Residuals of the solve and their normal equations, with analytic derivatives. */
import { MARK_CENTRES } from './card.ts';
import { huber } from './huber.ts';
import { type LiftedPoint, liftedEquations } from './paper-lift.ts';
import { placePoint, Row, showPoint, showSide } from './solve-rows.ts';
import {
  absoluteValue,
  type SolveProblem,
  type SolveState,
  type SolveTape,
  unknownCount,
} from './solve-state.ts';

export interface Equations {
  /** Robust cost: sum of squared residuals over sigma, straightened by Huber's loss. */
  readonly cost: number;
  /** J^T W J of what is measured, and of the priors alone; J^T W r of all. */
  readonly data: Float64Array;
  readonly prior: Float64Array;
  readonly right: Float64Array;
  /** Sum of the measurements' robust squares and how many scalar measurements they are. */
  readonly dataCost: number;
  readonly dataCount: number;
}

function accumulate(
  into: Float64Array,
  right: Float64Array,
  n: number,
  row: Row,
  residual: number,
  weight: number,
) {
  const { index, value } = row;
  for (let a = 0; a < index.length; a++) {
    const weighted = weight * value[a]!;
    right[index[a]!]! += weighted * residual;
    for (let b = 0; b < index.length; b++) into[index[a]! * n + index[b]!]! += weighted * value[b]!;
  }
}

/** Sums over the measurements so far. */
class Sums {
  readonly data: Float64Array;
  readonly prior: Float64Array;
  readonly right: Float64Array;
  dataCost = 0;
  dataCount = 0;
  priorCost = 0;

  constructor(private readonly n: number) {
    this.data = new Float64Array(n * n);
    this.prior = new Float64Array(n * n);
    this.right = new Float64Array(n);
  }

  /** One or more scalar measurements of one thing, which Huber's loss takes together. */
  measured(sigma: number, ...parts: readonly { readonly row: Row; readonly residual: number }[]): void {
    const squares = parts.reduce((sum, { residual }) => sum + (residual / sigma) ** 2, 0);
    const { cost, weight } = huber(squares);
    this.dataCost += cost;
    this.dataCount += parts.length;
    for (const { row, residual } of parts) {
      accumulate(this.data, this.right, this.n, row, residual, weight / sigma ** 2);
    }
  }

  /** A card's points, its paper's lift left open; false when a number is out of bounds. */
  lifted(points: readonly LiftedPoint[], gain: number): boolean {
    const own = liftedEquations(points, gain);
    if (!own) return false;
    const { index, data, right, cost } = own;
    this.dataCost += cost;
    // The heights are as many as the beliefs about them.
    this.dataCount += 2 * points.length;
    index.forEach((a, i) => {
      this.right[a]! += right[i]!;
      index.forEach((b, j) => {
        this.data[a * this.n + b]! += data[i * index.length + j]!;
      });
    });
    return true;
  }

  believed(row: Row, residual: number, sigma: number): void {
    this.priorCost += (residual / sigma) ** 2;
    accumulate(this.prior, this.right, this.n, row, residual, 1 / sigma ** 2);
  }
}

/** Adds all that is seen of a target; false when it would lie behind the camera. */
function addTarget(sums: Sums, problem: SolveProblem, state: SolveState, target: number): boolean {
  const { points, sides = [], isPrinted = true } = problem.targets[target]!;
  const leverage = problem.leverage?.[target];
  const lifted: LiftedPoint[] = [];
  for (let p = 0; p < points.length; p++) {
    const { at, seen, sigmaPx } = points[p]!;
    const shown = showPoint(problem, state, target, at);
    if (!shown) return false;
    lifted.push({
      at,
      sigmaPx,
      rows: [shown.row(1, 0), shown.row(0, 1)],
      residuals: [seen.u - shown.at.u, seen.v - shown.at.v],
      byHeight: leverage?.[p] ?? [shown.byHeight(1, 0), shown.byHeight(0, 1)],
    });
  }
  if (isPrinted && lifted.length > 0) {
    if (!sums.lifted(lifted, problem.noiseGain)) return false;
  } else {
    for (const { sigmaPx, rows, residuals } of lifted) {
      const parts = rows.map((row, k) => ({ row, residual: residuals[k]! }));
      sums.measured(sigmaPx * problem.noiseGain, ...parts);
    }
  }
  for (const [side, { places }] of sides.entries()) {
    for (const { seen, normal, sigmaPx } of places) {
      const shown = showSide(problem, state, target, side, seen);
      if (!shown) return false;
      const residual = normal.u * (seen.u - shown.at.u) + normal.v * (seen.v - shown.at.v);
      sums.measured(sigmaPx * problem.noiseGain, { row: shown.row(normal.u, normal.v), residual });
    }
  }
  return true;
}

function addTape(sums: Sums, problem: SolveProblem, state: SolveState, tape: SolveTape): void {
  const from = placePoint(problem, state, tape.fromCard, MARK_CENTRES[tape.fromMark]!);
  const to = placePoint(problem, state, tape.toCard, MARK_CENTRES[tape.toMark]!);
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  if (!(length > 0)) return;
  const [ex, ey] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const row = new Row();
  for (const [index, dx, dy] of to.by) row.add(index, ex * dx + ey * dy);
  for (const [index, dx, dy] of from.by) row.add(index, -(ex * dx + ey * dy));
  sums.measured(tape.doubtMm, { row, residual: tape.lengthMm - length });
}

/**
 * The belief that the camera looks straight down: the table's normal in camera axes is (0, 0, -1) then, and a turn
 * w of the camera adds w x normal to it.
 */
function addLevel(sums: Sums, { camera: { rotation } }: SolveState, doubtRad: number): void {
  const [nx, ny, nz] = [rotation[2]!, rotation[5]!, rotation[8]!];
  const [byX, byY] = [new Row(), new Row()];
  byX.add(1, nz);
  byX.add(2, -ny);
  byY.add(0, -nz);
  byY.add(2, nx);
  sums.believed(byX, -nx, doubtRad);
  sums.believed(byY, -ny, doubtRad);
}

/** The normal equations at a state, or undefined when a target would lie behind the camera. */
export function equationsAt(problem: SolveProblem, state: SolveState): Equations | undefined {
  const sums = new Sums(unknownCount(problem));
  for (let target = 0; target < problem.targets.length; target++) {
    if (!addTarget(sums, problem, state, target)) return undefined;
  }
  for (const tape of problem.tapes) addTape(sums, problem, state, tape);
  for (const { terms, target, sigma } of problem.priors) {
    const row = new Row();
    let value = 0;
    for (const [index, weight] of terms) {
      row.add(index, weight);
      value += weight * absoluteValue(state, index);
    }
    sums.believed(row, target - value, sigma);
  }
  if (problem.levelDoubtRad !== undefined) addLevel(sums, state, problem.levelDoubtRad);
  const { data, prior, right, dataCost, dataCount, priorCost } = sums;
  return { cost: dataCost + priorCost, data, prior, right, dataCost, dataCount };
}
