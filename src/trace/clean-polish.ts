import { evaluateCubic, nearerParameter, type PointRun } from '../geometry/fit-cubic.ts';
import { median } from '../geometry/median.ts';
import {
  endJoint,
  jointOffset,
  spanAfter,
  spanBefore,
  spanControls,
  spanOffset,
  type Spline,
} from './clean-spline.ts';
import { allControls, firstSharing, spansByUnknown, type Touch, touchesOf } from './clean-touches.ts';
import { addEntry, type Envelope, factorEnvelope, newEnvelope, solveEnvelope } from './envelope.ts';

/** Points with the span and the parameter at which each is nearest to the spline. */
export interface Attached extends PointRun {
  readonly weights: Float64Array;
  readonly span: Int32Array;
  readonly t: Float64Array;
}

const ROUNDS = 12;
/** Pull of each handle towards a third of its chord, as weight of one point: settles what the points leave open. */
const HANDLE_PULL = 1e-3;
/** Hold of each joint on its first place, likewise: a corner without points near it must not wander. */
const JOINT_HOLD = 1e-3;
/** Residuals beyond this many sigma count less (Huber 1981), with the spread never taken below the floor. */
const HUBER = 2.5;
const LEAST_SPREAD_MM = 0.01;

/** Brings every point's parameter to the nearest place, over smooth joints into the neighbouring span if need be. */
function reattach(spline: Spline, points: Attached): void {
  const controls = allControls(spline);
  for (let i = 0; i < points.xs.length; i++) {
    const x = points.xs[i]!;
    const y = points.ys[i]!;
    for (let round = 0; round < 3; round++) {
      const span = points.span[i]!;
      const t = nearerParameter(controls[span]!, points.t[i]!, x, y, -0.05, 1.05);
      const joint = t < 0 ? span : endJoint(spline, span);
      const next = t < 0 ? spanBefore(spline, span) : spanAfter(spline, endJoint(spline, span));
      const crosses = (t < 0 || t > 1) && next >= 0 && spline.joints[joint]!.kind === 'smooth';
      if (crosses) {
        points.span[i] = next;
        points.t[i] = t < 0 ? 1 : 0;
      } else points.t[i] = Math.min(1, Math.max(0, t));
    }
  }
}

const reading = new Float64Array(6);
/** Unit direction in which a point's distance is measured, and the distance, at the last place asked for. */
const gap = { nx: 0, ny: 0, distance: 0 };

/**
 * Measures a point from its place on a cubic: across the curve, left of travel positive; or straight, where the place
 * is an end of the curve and the point lies beyond it.
 */
function measureGap(controls: Float64Array, t: number, x: number, y: number): void {
  evaluateCubic(controls, t, reading);
  const dx = x - reading[0]!;
  const dy = y - reading[1]!;
  const vx = reading[2]!;
  const vy = reading[3]!;
  const along = dx * vx + dy * vy;
  const beyond = (t <= 0 && along < 0) || (t >= 1 && along > 0);
  const length = beyond ? Math.hypot(dx, dy) : Math.hypot(vx, vy);
  if (length === 0) {
    gap.nx = 0;
    gap.ny = 0;
    gap.distance = 0;
    return;
  }
  gap.nx = beyond ? dx / length : -vy / length;
  gap.ny = beyond ? dy / length : vx / length;
  gap.distance = gap.nx * dx + gap.ny * dy;
}

/** Signed distance of each point from the spline, mm; left of travel positive. */
export function distancesAcross(spline: Spline, points: Attached): Float64Array {
  const controls = allControls(spline);
  return points.xs.map((x, i) => {
    measureGap(controls[points.span[i]!]!, points.t[i]!, x, points.ys[i]!);
    return gap.distance;
  });
}

/** Huber's weights for the residuals, from their own median spread. */
function robustWeights(residuals: Float64Array, weights: Float64Array): Float64Array {
  const sizes = residuals.filter((_, i) => weights[i] === 1).map(Math.abs);
  const spread = Math.max(LEAST_SPREAD_MM, median(sizes) / 0.6745);
  return residuals.map((r, i) => weights[i]! * Math.min(1, (HUBER * spread) / (Math.abs(r) || 1e-12)));
}

/** The points on each span that count, in order. */
function pointsBySpan(spline: Spline, points: Attached, weights: Float64Array): number[][] {
  const bySpan: number[][] = spline.spans.map(() => []);
  for (let i = 0; i < points.xs.length; i++) if (weights[i] !== 0) bySpan[points.span[i]!]!.push(i);
  return bySpan;
}

/** Adds the normal equations of one Gauss-Newton step: matrix and right side. */
function addEquations(
  spline: Spline,
  points: Attached,
  touches: readonly Touch[][],
  residuals: Float64Array,
  weights: Float64Array,
  matrix: Envelope,
  right: Float64Array,
): void {
  const controls = new Float64Array(8);
  const row = new Float64Array(spline.unknowns.length);
  const bySpan = pointsBySpan(spline, points, weights);
  for (const [span, own] of touches.entries()) {
    spanControls(spline, spline.unknowns, span, controls);
    for (const i of bySpan[span]!) {
      const t = points.t[i]!;
      const s = 1 - t;
      measureGap(controls, t, points.xs[i]!, points.ys[i]!);
      const { nx, ny } = gap;
      const w0 = s * s * s;
      const w1 = 3 * s * s * t;
      const w2 = 3 * s * t * t;
      const w3 = t * t * t;
      const weight = weights[i]!;
      for (let a = 0; a < own.length; a++) {
        const { unknown, change } = own[a]!;
        const dx = w0 * change[0]! + w1 * change[2]! + w2 * change[4]! + w3 * change[6]!;
        const dy = w0 * change[1]! + w1 * change[3]! + w2 * change[5]! + w3 * change[7]!;
        row[a] = nx * dx + ny * dy;
        right[unknown]! += weight * row[a]! * residuals[i]!;
        for (let b = 0; b <= a; b++) addEntry(matrix, unknown, own[b]!.unknown, weight * row[a]! * row[b]!);
      }
    }
    pullHandles(spline, span, controls, matrix, right);
  }
}

/** The handles of a span as pulled: index of the first unknown, direction of the pull in it, and what is short, mm. */
interface Pull {
  readonly at: number;
  readonly cx: number;
  readonly cy: number;
  readonly shortMm: number;
}

/**
 * The gentle pull of handles towards a third of the chord: of a smooth handle's length, of a free handle's part along
 * the chord. It settles how fast a curve is run, which the points leave open.
 */
function handlePulls(spline: Spline, span: number, controls: Float64Array): Pull[] {
  if (spline.spans[span]!.kind === 'line') return [];
  const dx = controls[6]! - controls[0]!;
  const dy = controls[7]! - controls[1]!;
  const chord = Math.hypot(dx, dy) || 1;
  return [0, 2].map((handle) => {
    const joint = handle === 0 ? span : endJoint(spline, span);
    const at = spanOffset(span) + handle;
    const smooth = spline.joints[joint]!.kind === 'smooth';
    const [cx, cy] = smooth ? [1, 0] : [dx / chord, dy / chord];
    return { at, cx, cy, shortMm: chord / 3 - cx * spline.unknowns[at]! - cy * spline.unknowns[at + 1]! };
  });
}

function pullHandles(
  spline: Spline,
  span: number,
  controls: Float64Array,
  matrix: Envelope,
  right: Float64Array,
): void {
  for (const { at, cx, cy, shortMm } of handlePulls(spline, span, controls)) {
    addEntry(matrix, at, at, HANDLE_PULL * cx * cx);
    addEntry(matrix, at + 1, at, HANDLE_PULL * cx * cy);
    addEntry(matrix, at + 1, at + 1, HANDLE_PULL * cy * cy);
    right[at]! += HANDLE_PULL * cx * shortMm;
    right[at + 1]! += HANDLE_PULL * cy * shortMm;
  }
}

/** Indices of the unknowns that are joints' coordinates. */
function jointPlaces(spline: Spline): number[] {
  return spline.joints.flatMap((_, joint) => [jointOffset(joint), jointOffset(joint) + 1]);
}

/** What the final fit makes small: weighted squares of the distances, and of what the handles are short. */
function costOf(
  spline: Spline,
  residuals: Float64Array,
  weights: Float64Array,
  anchors: Float64Array,
): number {
  let cost = 0;
  for (const at of jointPlaces(spline)) cost += JOINT_HOLD * (spline.unknowns[at]! - anchors[at]!) ** 2;
  for (let i = 0; i < residuals.length; i++) cost += weights[i]! * residuals[i]! * residuals[i]!;
  for (const [span, controls] of allControls(spline).entries()) {
    for (const { shortMm } of handlePulls(spline, span, controls)) cost += HANDLE_PULL * shortMm * shortMm;
  }
  return cost;
}

/**
 * Moves joints, directions and handles together to the least squares of the points' distances: a regression through
 * the noise, by Levenberg and Marquardt, with the points' parameters brought up to date in every round.
 */
export function polishSpline(spline: Spline, points: Attached): void {
  const spans = spansByUnknown(spline);
  const first = firstSharing(spans);
  const n = spline.unknowns.length;
  const anchors = spline.unknowns.slice();
  let damping = 1e-4;
  reattach(spline, points);
  for (let round = 0; round < ROUNDS; round++) {
    const residuals = distancesAcross(spline, points);
    const weights = robustWeights(residuals, points.weights);
    const before = costOf(spline, residuals, weights, anchors);
    const matrix = newEnvelope(first);
    const right = new Float64Array(n);
    addEquations(spline, points, touchesOf(spline, spans), residuals, weights, matrix, right);
    for (const at of jointPlaces(spline)) {
      addEntry(matrix, at, at, JOINT_HOLD);
      right[at]! += JOINT_HOLD * (anchors[at]! - spline.unknowns[at]!);
    }
    for (const row of matrix.rows) row[row.length - 1]! += damping * row.at(-1)! + 1e-9;
    if (!factorEnvelope(matrix)) return;
    const step = solveEnvelope(matrix, right);
    const kept = spline.unknowns.slice();
    const [keptSpan, keptT] = [points.span.slice(), points.t.slice()];
    for (let k = 0; k < n; k++) spline.unknowns[k]! += step[k]!;
    reattach(spline, points);
    const after = costOf(spline, distancesAcross(spline, points), weights, anchors);
    if (after > before * (1 + 1e-9)) {
      spline.unknowns.set(kept);
      points.span.set(keptSpan);
      points.t.set(keptT);
      damping *= 10;
      if (damping > 1e3) return;
    } else {
      damping = Math.max(1e-7, damping / 5);
      if (before - after < 1e-6 * before) return;
    }
  }
}
