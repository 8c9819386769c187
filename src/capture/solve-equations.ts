/** Residuals of the solve and their normal equations, with analytic derivatives. */
import { principalPoint } from './camera.ts';
import { CARD_FACE_HEIGHT_MM, MARK_CENTRES } from './card.ts';
import type { SeenPoint } from './card-points.ts';
import { LN_ACROSS, LN_ALONG, LN_FOCAL } from './camera-parameters.ts';
import {
  absoluteValue,
  placeIndex,
  type SolveProblem,
  type SolveState,
  unknownCount,
} from './solve-state.ts';

/** Beyond this many sigmas a point's pull grows no more (Huber's loss). */
const HUBER = 3;

export interface Equations {
  /** Robust cost: sum of squared residuals over sigma, straightened beyond `HUBER`. */
  readonly cost: number;
  /** J^T W J of points and tapes, and of the priors alone; J^T W r of all. */
  readonly data: Float64Array;
  readonly prior: Float64Array;
  readonly right: Float64Array;
  /** Sum of the points' and tapes' robust squares and how many scalar measurements they are. */
  readonly dataCost: number;
  readonly dataCount: number;
}

/** A sparse row of the Jacobian: indices and derivatives. */
class Row {
  readonly index: number[] = [];
  readonly value: number[] = [];

  add(index: number, value: number): void {
    if (index < 0) return;
    this.index.push(index);
    this.value.push(value);
  }
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

interface Placed {
  readonly x: number;
  readonly y: number;
  /** Derivatives by the card's turn and by lnAcross, lnAlong. */
  readonly byTurn: readonly [number, number];
  readonly byAcross: readonly [number, number];
  readonly byAlong: readonly [number, number];
}

/** Where a nominal point of a card lies on the table, with derivatives. */
export function placePoint(state: SolveState, card: number, at: { x: number; y: number }): Placed {
  const place = state.places[card]!;
  const [c, s] = [Math.cos(place.turnRad), Math.sin(place.turnRad)];
  const x = Math.exp(state.lnAcross) * at.x;
  const y = Math.exp(state.lnAlong) * at.y;
  return {
    x: place.x + c * x - s * y,
    y: place.y + s * x + c * y,
    byTurn: [-s * x - c * y, c * x - s * y],
    byAcross: [c * x, s * x],
    byAlong: [-s * y, c * y],
  };
}

interface PointRows {
  readonly u: Row;
  readonly v: Row;
  /** Seen minus solved, px. */
  readonly du: number;
  readonly dv: number;
}

/** Residual and derivatives of one point; undefined when it falls behind the camera. */
function pointRows(state: SolveState, card: number, point: SeenPoint): PointRows | undefined {
  const { camera } = state;
  const r = camera.rotation;
  const placed = placePoint(state, card, point.at);
  const [cx, cy, cz] = camera.centreMm;
  const [dx, dy, dz] = [placed.x - cx, placed.y - cy, CARD_FACE_HEIGHT_MM - cz];
  const p = [0, 3, 6].map((k) => r[k]! * dx + r[k + 1]! * dy + r[k + 2]! * dz) as [number, number, number];
  if (!(p[2] > 1)) return undefined;
  const [x, y] = [p[0] / p[2], p[1] / p[2]];
  const r2 = x * x + y * y;
  const bend = 1 + r2 * (camera.k1 + r2 * camera.k2);
  const bendSlope = 2 * (camera.k1 + 2 * r2 * camera.k2);
  const f = camera.focalPx;
  const centre = principalPoint(camera);
  // Image place by normalised place, then by the point in camera axes.
  const ux = f * (bend + x * x * bendSlope);
  const uy = f * x * y * bendSlope;
  const vy = f * (bend + y * y * bendSlope);
  const byCamera = (a: number, b: number): [number, number, number] => [
    a / p[2],
    b / p[2],
    -(a * x + b * y) / p[2],
  ];
  const fill = (g: [number, number, number], along: number, isU: boolean): Row => {
    const row = new Row();
    // A turn w of the camera moves the point by w x p.
    row.add(0, g[2] * p[1] - g[1] * p[2]);
    row.add(1, g[0] * p[2] - g[2] * p[0]);
    row.add(2, g[1] * p[0] - g[0] * p[1]);
    const byX = g[0] * r[0]! + g[1] * r[3]! + g[2] * r[6]!;
    const byY = g[0] * r[1]! + g[1] * r[4]! + g[2] * r[7]!;
    const byZ = g[0] * r[2]! + g[1] * r[5]! + g[2] * r[8]!;
    row.add(3, -byX);
    row.add(4, -byY);
    row.add(5, -byZ);
    row.add(LN_FOCAL, f * bend * along);
    row.add(7, f * along * r2);
    row.add(8, f * along * r2 * r2);
    row.add(isU ? 9 : 10, 1);
    row.add(LN_ACROSS, byX * placed.byAcross[0] + byY * placed.byAcross[1]);
    row.add(LN_ALONG, byX * placed.byAlong[0] + byY * placed.byAlong[1]);
    const at = placeIndex(card);
    if (at >= 0) {
      row.add(at, byX);
      row.add(at + 1, byY);
      row.add(at + 2, byX * placed.byTurn[0] + byY * placed.byTurn[1]);
    }
    return row;
  };
  return {
    u: fill(byCamera(ux, uy), x, true),
    v: fill(byCamera(uy, vy), y, false),
    du: point.seen.u - centre.u - f * bend * x,
    dv: point.seen.v - centre.v - f * bend * y,
  };
}

/** Huber's cost and weight for `squares` = (residual / sigma)^2. */
function huber(squares: number): { readonly cost: number; readonly weight: number } {
  if (squares <= HUBER * HUBER) return { cost: squares, weight: 1 };
  const s = Math.sqrt(squares);
  return { cost: 2 * HUBER * s - HUBER * HUBER, weight: HUBER / s };
}

/** The normal equations at a state, or undefined when a card would lie behind the camera. */
export function equationsAt(problem: SolveProblem, state: SolveState): Equations | undefined {
  const n = unknownCount(problem);
  const data = new Float64Array(n * n);
  const prior = new Float64Array(n * n);
  const right = new Float64Array(n);
  let dataCost = 0;
  let dataCount = 0;
  for (const [card, { points }] of problem.cards.entries()) {
    for (const point of points) {
      const rows = pointRows(state, card, point);
      if (!rows) return undefined;
      const sigma = point.sigmaPx * problem.noiseGain;
      const { cost, weight } = huber((rows.du ** 2 + rows.dv ** 2) / sigma ** 2);
      dataCost += cost;
      dataCount += 2;
      accumulate(data, right, n, rows.u, rows.du, weight / sigma ** 2);
      accumulate(data, right, n, rows.v, rows.dv, weight / sigma ** 2);
    }
  }
  for (const tape of problem.tapes) {
    const from = placePoint(state, tape.fromCard, MARK_CENTRES[tape.fromMark]!);
    const to = placePoint(state, tape.toCard, MARK_CENTRES[tape.toMark]!);
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    if (!(length > 0)) continue;
    const [ex, ey] = [(to.x - from.x) / length, (to.y - from.y) / length];
    const row = new Row();
    for (const [card, placed, sign] of [
      [tape.fromCard, from, -1],
      [tape.toCard, to, 1],
    ] as const) {
      const at = placeIndex(card);
      if (at >= 0) {
        row.add(at, sign * ex);
        row.add(at + 1, sign * ey);
        row.add(at + 2, sign * (ex * placed.byTurn[0] + ey * placed.byTurn[1]));
      }
      row.add(LN_ACROSS, sign * (ex * placed.byAcross[0] + ey * placed.byAcross[1]));
      row.add(LN_ALONG, sign * (ex * placed.byAlong[0] + ey * placed.byAlong[1]));
    }
    const residual = tape.lengthMm - length;
    const { cost, weight } = huber((residual / tape.doubtMm) ** 2);
    dataCost += cost;
    dataCount += 1;
    accumulate(data, right, n, row, residual, weight / tape.doubtMm ** 2);
  }
  let cost = dataCost;
  for (const { terms, target, sigma } of problem.priors) {
    const row = new Row();
    let value = 0;
    for (const [index, weight] of terms) {
      row.add(index, weight);
      value += weight * absoluteValue(state, index);
    }
    const residual = target - value;
    cost += (residual / sigma) ** 2;
    accumulate(prior, right, n, row, residual, 1 / sigma ** 2);
  }
  return { cost, data, prior, right, dataCost, dataCount };
}
