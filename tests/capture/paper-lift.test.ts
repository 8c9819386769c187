import { describe, expect, it } from 'vitest';
import { MARK_CENTRES } from '../../src/capture/card.ts';
import { symmetricInverse } from '../../src/capture/linear-algebra.ts';
import { type LiftedPoint, liftedEquations } from '../../src/capture/paper-lift.ts';
import { Row } from '../../src/capture/solve-rows.ts';
import { seededNormal } from './card-renderer.ts';

const UNKNOWNS = 7;
const LIFT_MM = 0.15;

/** Four marks with random derivatives and small residuals. */
function randomPoints(seed: number, residualPx: number): LiftedPoint[] {
  const normal = seededNormal(seed);
  const rowOf = (): Row => {
    const row = new Row();
    for (let i = 0; i < UNKNOWNS; i++) row.add(i, normal());
    return row;
  };
  return MARK_CENTRES.map((at) => ({
    at,
    sigmaPx: 0.1,
    rows: [rowOf(), rowOf()],
    residuals: [residualPx * normal(), residualPx * normal()],
    byHeight: [normal(), normal()],
  }));
}

/** The same written out: unknowns and four heights in one system. */
function writtenOut(points: readonly LiftedPoint[]) {
  const n = UNKNOWNS + 4;
  const normal = new Float64Array(n * n);
  const right = new Float64Array(n);
  const addRow = (slope: readonly number[], residual: number, sigma: number): void => {
    for (let i = 0; i < n; i++) {
      right[i]! += (slope[i]! * residual) / sigma ** 2;
      for (let j = 0; j < n; j++) normal[i * n + j]! += (slope[i]! * slope[j]!) / sigma ** 2;
    }
  };
  for (const { at, sigmaPx, rows, residuals, byHeight } of points) {
    const basis = [1, at.x / 33, at.y / 33, (at.x * at.y) / 33 ** 2];
    rows.forEach((row, k) => {
      addRow([...row.value, ...basis.map((b) => byHeight[k]! * b)], residuals[k]!, sigmaPx);
    });
  }
  for (let k = 0; k < 4; k++) {
    const slope = Array.from({ length: n }, (_, i) => (i === UNKNOWNS + k ? 1 : 0));
    addRow(slope, 0, LIFT_MM);
  }
  return { n, normal, right };
}

/** A belief that keeps the unknowns in bounds. */
function withBelief(data: Float64Array, n: number): Float64Array {
  const sum = data.slice();
  for (let i = 0; i < UNKNOWNS; i++) sum[i * n + i]! += 2;
  return sum;
}

describe("a card's equations with its paper's lift taken out", () => {
  it('give the same step and the same covariance as four more unknowns written out', () => {
    const points = randomPoints(1, 0.05);
    const lifted = liftedEquations(points, 1)!;
    expect(lifted.index).toEqual([0, 1, 2, 3, 4, 5, 6]);
    const own = symmetricInverse(withBelief(lifted.data, UNKNOWNS), UNKNOWNS)!;
    const { n, normal, right } = writtenOut(points);
    const whole = symmetricInverse(withBelief(normal, n), n)!;
    for (let i = 0; i < UNKNOWNS; i++) {
      let [step, wholeStep] = [0, 0];
      for (let j = 0; j < UNKNOWNS; j++) {
        expect(own[i * UNKNOWNS + j]).toBeCloseTo(whole[i * n + j]!, 8);
        step += own[i * UNKNOWNS + j]! * lifted.right[j]!;
      }
      for (let j = 0; j < n; j++) wholeStep += whole[i * n + j]! * right[j]!;
      expect(step).toBeCloseTo(wholeStep, 8);
    }
  });

  it('cost what the best heights leave, never more than without heights', () => {
    const points = randomPoints(2, 0.05);
    const flat = points.reduce(
      (sum, { residuals: [u, v], sigmaPx }) => sum + (u * u + v * v) / sigmaPx ** 2,
      0,
    );
    const { cost } = liftedEquations(points, 1)!;
    expect(cost).toBeLessThan(flat);
    expect(cost).toBeGreaterThan(0);
  });

  it('bear a stray point: its pull is bounded', () => {
    const points = randomPoints(3, 0.05);
    const strayBy = (px: number) =>
      points.map((point, p) => (p === 1 ? { ...point, residuals: [px, 0] as const } : point));
    const pull = (px: number): number => Math.hypot(...liftedEquations(strayBy(px), 1)!.right);
    expect(pull(1e4)).toBeLessThan(3 * pull(10));
  });

  it('scale with the gain of the noise, points and paper alike', () => {
    const points = randomPoints(4, 0.02);
    const [one, two] = [liftedEquations(points, 1)!, liftedEquations(points, 2)!];
    expect(two.cost).toBeCloseTo(one.cost / 4, 10);
    one.data.forEach((value, k) => expect(two.data[k]).toBeCloseTo(value / 4, 8));
  });
});
