import { type CubicControls, evaluateCubic, fitCubic, type PointRun } from '../geometry/fit-cubic.ts';

/**
 * A stretch of line between two corners (or a whole closed line without one) as points in order, its ends included,
 * mm. Splitting it into the fewest straight segments and cubics is a shortest way over possible joints.
 */
export interface Run extends PointRun {
  /** Place of each point along the samples of the whole line, counting up. */
  readonly places: Float64Array;
  /** Spread of the points, mm. */
  readonly noiseMm: number;
  /** Mean distance between neighbours, mm. */
  readonly spacingMm: number;
}

/** One segment of the split, between points `first` and `last` of the run. */
export interface Span {
  readonly first: number;
  readonly last: number;
  readonly kind: 'line' | 'cubic';
  readonly controls: CubicControls;
}

/** Possible joints lie this far apart, mm. */
const JOINT_STEP_MM = 4;
/** No segment is shorter than this unless its run is, mm. */
const SHORTEST_MM = 6;
/** Misfits are judged as means over this length, mm, so that noise does not ask for more segments. */
const MEAN_OVER_MM = 2.4;
/** A segment that bridges a gap should have measured points on either side over this length, mm. */
const GAP_LEAD_MM = 7;
/** A straight segment is a little cheaper than a curved one. */
const LINE_COST = 0.9;
/** Weight of the misfit among splits with as many segments. */
const MISFIT_COST = 0.3;
/** No curved segment is longer than this many joint steps, to bound the search. */
const MOST_CURVED_STEPS = 45;

const reading = new Float64Array(6);

/** Largest running mean of the inner points' signed distances from a fitted span, mm. */
function worstMisfit(run: Run, across: Float64Array): number {
  const inner = across.length - 2;
  const window = Math.min(Math.max(1, Math.round(MEAN_OVER_MM / run.spacingMm)), inner);
  let worst = 0;
  let sum = 0;
  for (let k = 1; k <= inner; k++) {
    sum += across[k]! - (k > window ? across[k - window]! : 0);
    if (k >= window) worst = Math.max(worst, Math.abs(sum) / window);
  }
  return worst;
}

/** x and y of both ends, mm. */
type Ends = readonly [number, number, number, number];

interface Trial extends Span {
  readonly worstMm: number;
}

/** A straight span, judged by the points' own straightest line: the ends are adjusted to it in the final fit. */
function tryLine(run: Run, first: number, last: number, ends: Ends): Trial {
  const [x0, y0, x3, y3] = ends;
  const length = Math.hypot(x3 - x0, y3 - y0) || 1;
  const nx = -(y3 - y0) / length;
  const ny = (x3 - x0) / length;
  const across = new Float64Array(last - first + 1);
  const inner = across.length - 2;
  let [sum, slopeSum, squares] = [0, 0, 0];
  for (let i = 1; i <= inner; i++) {
    const k = i - (inner + 1) / 2;
    across[i] = (run.xs[first + i]! - x0) * nx + (run.ys[first + i]! - y0) * ny;
    sum += across[i]!;
    slopeSum += k * across[i]!;
    squares += k * k;
  }
  for (let i = 1; i <= inner; i++) {
    across[i]! -= sum / inner + (squares > 0 ? (slopeSum / squares) * (i - (inner + 1) / 2) : 0);
  }
  const [dx, dy] = [(x3 - x0) / 3, (y3 - y0) / 3];
  const controls = Float64Array.of(x0, y0, x0 + dx, y0 + dy, x3 - dx, y3 - dy, x3, y3);
  return { first, last, kind: 'line', controls, worstMm: worstMisfit(run, across) };
}

function tryCubic(run: Run, first: number, last: number, ends: Ends): Trial {
  const { controls, parameters } = fitCubic(run, first, last, ends, 4);
  const across = new Float64Array(last - first + 1);
  for (let i = 1; i < across.length - 1; i++) {
    evaluateCubic(controls, parameters[i]!, reading);
    const speed = Math.hypot(reading[2]!, reading[3]!) || 1;
    const dx = run.xs[first + i]! - reading[0]!;
    const dy = run.ys[first + i]! - reading[1]!;
    across[i] = (dy * reading[2]! - dx * reading[3]!) / speed;
  }
  return { first, last, kind: 'cubic', controls, worstMm: worstMisfit(run, across) };
}

/** The run smoothed at one of its points by a parabola over a few millimetres; ends are kept as they are. */
function smoothedPoint(run: Run, at: number): readonly [number, number] {
  const last = run.xs.length - 1;
  if (at === 0 || at === last) return [run.xs[at]!, run.ys[at]!];
  let reach = Math.min(Math.max(2, Math.round(2.5 / run.spacingMm)), at - 1, last - 1 - at);
  // The places must be even: not across a gap.
  const pitch = Math.min(run.places[at + 1]! - run.places[at]!, run.places[at]! - run.places[at - 1]!);
  while (reach > 0 && run.places[at + reach]! - run.places[at - reach]! > 2 * reach * pitch + 0.5) reach--;
  // Symmetric places: the parabola's value in the middle is a fixed sum (Savitzky & Golay 1964).
  if (reach < 1) return [run.xs[at]!, run.ys[at]!];
  const m = reach;
  const scale = ((2 * m + 1) * (4 * m * m + 4 * m - 3)) / 3;
  let [x, y] = [0, 0];
  for (let k = -m; k <= m; k++) {
    const weight = (3 * m * m + 3 * m - 1 - 5 * k * k) / scale;
    x += weight * run.xs[at + k]!;
    y += weight * run.ys[at + k]!;
  }
  return [x, y];
}

/** Length from which a stretch may be called straight, mm, and the bow it may have as a share of the limit. */
const STRAIGHT_FROM_MM = 8;
const STRAIGHT_BOW_SHARE = 0.5;

/** True when the stretch bows no more than noise explains: the parabola through its inner points has no height. */
function isStraight(run: Run, trial: Trial, limitMm: number): boolean {
  const points = trial.last - trial.first - 1;
  const length = Math.hypot(trial.controls[6]! - trial.controls[0]!, trial.controls[7]! - trial.controls[1]!);
  if (length < STRAIGHT_FROM_MM || points < 3) return false;
  return trial.worstMm <= STRAIGHT_BOW_SHARE * limitMm + 3 * run.noiseMm;
}

/** The cheaper admissible segment between two points, or the misfit of the best one when none is. */
function bestTrial(
  run: Run,
  first: number,
  last: number,
  ends: Ends,
  limitMm: number,
  mayCurve: boolean,
): { readonly trial: Trial; readonly cost: number; readonly admissible: boolean } {
  const misfitCost = (trial: Trial) => MISFIT_COST * (trial.worstMm / limitMm) ** 2;
  const line = tryLine(run, first, last, ends);
  const whole = first === 0 && last === run.xs.length - 1;
  if (isStraight(run, line, limitMm) || (last - first < 4 && whole)) {
    return { trial: line, cost: LINE_COST + misfitCost(line), admissible: true };
  }
  if (!mayCurve) return { trial: line, cost: Infinity, admissible: false };
  const cubic = tryCubic(run, first, last, ends);
  return { trial: cubic, cost: 1 + misfitCost(cubic), admissible: cubic.worstMm <= limitMm };
}

/** True for a joint so near a gap that a segment bridging the gap would begin without a lead. */
function isBesideGap(run: Run, at: number): boolean {
  const reach = Math.round(GAP_LEAD_MM / run.spacingMm);
  const from = Math.max(0, at - reach);
  const to = Math.min(run.xs.length - 1, at + reach);
  const even = run.places[2]! - run.places[1]! || 1;
  return run.places[to]! - run.places[from]! > (to - from + 2) * even;
}

/**
 * Splits a run into the fewest segments whose running mean misfit stays within `limitMm`. Joints are places on the
 * run; directions there are left free, so a joint that turns sharply shows as one.
 */
export function splitRun(run: Run, limitMm: number): Span[] {
  const last = run.xs.length - 1;
  const step = Math.max(1, Math.round(JOINT_STEP_MM / run.spacingMm));
  const steps = Math.max(1, Math.round(last / step));
  const joints = Array.from({ length: steps + 1 }, (_, k) => Math.round((k * last) / steps));
  const places = joints.map((at) => smoothedPoint(run, at));
  const shortest = Math.min(steps, Math.ceil(SHORTEST_MM / JOINT_STEP_MM));
  const besideGap = joints.map((at) => isBesideGap(run, at));
  const cost = new Float64Array(steps + 1).fill(Infinity);
  const from: (Trial | undefined)[] = [];
  cost[0] = 0;
  for (let i = 0; i < steps; i++) {
    if (cost[i] === Infinity) continue;
    let failures = 0;
    for (let j = i + 1; j <= steps && failures < 3; j++) {
      // A very short segment only where nothing else reaches.
      const tooShort = j - i < shortest;
      const ends: Ends = [...places[i]!, ...places[j]!];
      const best = bestTrial(run, joints[i]!, joints[j]!, ends, limitMm, j - i <= MOST_CURVED_STEPS);
      if (!best.admissible && j > i + 1) {
        failures++;
        continue;
      }
      const unwelcome = (tooShort ? 0.5 : 0) + (besideGap[j] ? 0.5 : 0) + (best.admissible ? 0 : 2);
      const total = cost[i]! + best.cost + unwelcome;
      if (total < cost[j]!) {
        cost[j] = total;
        from[j] = best.trial;
      }
    }
  }
  const spans: Span[] = [];
  for (let j = steps; j > 0; ) {
    const trial = from[j]!;
    spans.unshift(trial);
    j = joints.indexOf(trial.first);
  }
  return spans;
}
