import { describe, expect, it } from 'vitest';
import { offsetFromLineMm, type StraightLine } from '../../src/geometry/motion.ts';
import { mapPath, type Path } from '../../src/geometry/path.ts';
import { foldLine } from '../../src/mirror/axis.ts';
import { type AxisCandidate, findAxes, settleAxis } from '../../src/mirror/find-axes.ts';
import { point, SCALES } from '../geometry/drawn.ts';
import {
  CIRCLE,
  CROWN,
  EYES,
  fineOutline,
  NEAR_CIRCLE,
  OUTLINES,
  OVAL,
  posed,
  POSED_AXIS,
  posedPoint,
  RECTANGLE,
  trimmedRight,
  VISOR,
  withBumps,
  withNoise,
} from './outlines.ts';

/** How far an axis lies from the known one: turn in degrees, and distance at the middle of the piece in mm. */
function error(axis: StraightLine, truth: StraightLine = POSED_AXIS): { deg: number; mm: number } {
  const turn = Math.abs(((axis.angleRad - truth.angleRad) * 180) / Math.PI) % 180;
  return { deg: Math.min(turn, 180 - turn), mm: Math.abs(offsetFromLineMm(axis, truth.point)) };
}

/** The candidate nearest to the known axis, and its rank. */
function known(candidates: readonly AxisCandidate[]): AxisCandidate {
  return candidates.reduce((best, next) => (error(next.axis).deg < error(best.axis).deg ? next : best));
}

const widthOf = (path: Path) => Math.max(...fineOutline(path).map(({ at }) => at.x));

describe('fold axes', () => {
  it.each(Object.entries(OUTLINES))('of a clean outline within 0.02 mm and 0.02 degrees: %s', (_, path) => {
    const candidates = findAxes(posed(path));
    const { axis, rmsMm, equalToBest } = known(candidates);
    expect(error(axis).deg).toBeLessThan(0.02);
    expect(error(axis).mm).toBeLessThan(0.02);
    expect(rmsMm).toBeLessThan(0.02);
    expect(equalToBest).toBe(true);
    expect(axis.rule).toBe('free');
  });

  it.each(['CROWN', 'VISOR', 'TRIANGLE', 'KITE', 'LEAF', 'HORSESHOE', 'SCALLOPS'])(
    'of a shape with one axis are one: %s',
    (name) => {
      expect(findAxes(posed(OUTLINES[name]!))).toHaveLength(1);
    },
  );

  // A near-circle's axis is soft: noise of 0.1 mm turns it by more than 0.1 degrees, whatever the method.
  const firm = Object.entries(OUTLINES).filter(([name]) => name !== 'NEAR_CIRCLE');

  it.each(firm)('under 0.1 mm of noise within 0.15 mm and 0.1 degrees: %s', (_, path) => {
    for (const seed of [1, 2, 3]) {
      const { axis } = known(findAxes(posed(withNoise(path, 0.1, seed))));
      expect(error(axis).deg).toBeLessThan(0.1);
      expect(error(axis).mm).toBeLessThan(0.15);
    }
  });

  it.each(['CROWN', 'VISOR', 'TRIANGLE', 'KITE', 'LEAF', 'OVAL'])(
    'are not dragged by a side trimmed by a tenth of the width, under noise too: %s',
    (name) => {
      const path = OUTLINES[name]!;
      const damaged = withNoise(trimmedRight(path, 0.8 * widthOf(path)), 0.1, 5);
      const { axis } = known(findAxes(posed(damaged)));
      expect(error(axis).deg).toBeLessThan(0.1);
      expect(error(axis).mm).toBeLessThan(0.15);
    },
  );

  it.each(Object.entries(OUTLINES))('are not dragged by a bump of 4 mm and a dent of 3 mm: %s', (_, path) => {
    const width = widthOf(path);
    const { path: spoiled } = withBumps(path, [
      { near: point(0.8 * width, 0), heightMm: 4, widthMm: 30 },
      { near: point(-0.5 * width, 100), heightMm: -3, widthMm: 40 },
    ]);
    const { axis } = known(findAxes(posed(spoiled)));
    expect(error(axis).deg).toBeLessThan(0.02);
    expect(error(axis).mm).toBeLessThan(0.02);
  });

  it('of ovals and rectangles are two equal ones; the one across the length comes first', () => {
    for (const path of [OVAL, RECTANGLE]) {
      const candidates = findAxes(posed(path));
      expect(candidates.map(({ equalToBest }) => equalToBest)).toEqual([true, true]);
      expect(error(candidates[0]!.axis).deg).toBeLessThan(0.02);
      expect(error(candidates[1]!.axis).deg).toBeGreaterThan(89.98);
    }
  });

  it('of a near-circle are offered as choices, noise or not', () => {
    expect(findAxes(posed(NEAR_CIRCLE)).filter(({ equalToBest }) => equalToBest)).toHaveLength(2);
    const noisy = findAxes(posed(withNoise(NEAR_CIRCLE, 0.1, 7)));
    expect(noisy.filter(({ equalToBest }) => equalToBest).length).toBeGreaterThanOrEqual(2);
    expect(error(known(noisy).axis).deg).toBeLessThan(0.5);
    expect(error(known(noisy).axis).mm).toBeLessThan(0.15);
  });

  it('of a circle are many, all through its middle; its eyes single one out', () => {
    const bare = findAxes(posed(CIRCLE));
    expect(bare.length).toBeGreaterThan(3);
    for (const { axis } of bare)
      expect(Math.abs(offsetFromLineMm(axis, posedPoint(point(0, 0))))).toBeLessThan(0.02);
    const [first] = findAxes(posed(CIRCLE), EYES.map(posed));
    expect(error(first!.axis).deg).toBeLessThan(0.02);
    expect(first!.misfit).toBeLessThan(1e-3);
  });

  it.each(SCALES)('are as exact at scale %d', (scale) => {
    const grown = mapPath(posed(CROWN), ({ x, y }) => point(x * scale, y * scale));
    const [first] = findAxes(grown);
    const truth = {
      point: point(POSED_AXIS.point.x * scale, POSED_AXIS.point.y * scale),
      angleRad: POSED_AXIS.angleRad,
    };
    expect(error(first!.axis, truth).deg).toBeLessThan(0.02);
    expect(error(first!.axis, truth).mm / scale).toBeLessThan(0.02);
  });

  it('point upwards, whichever way the piece lies', () => {
    for (const angleRad of [-4, -Math.PI, -0.1, 0, 1e-17, 2, Math.PI, 9]) {
      const line = foldLine({ point: point(3, 4), angleRad }, 'by-hand');
      expect(line.angleRad).toBeGreaterThanOrEqual(0);
      expect(line.angleRad).toBeLessThan(Math.PI);
      expect(Math.abs(Math.sin(line.angleRad - angleRad))).toBeLessThan(1e-12);
    }
  });

  it('settle from a rough placing: freely, or only sideways when kept upright', () => {
    const rough = foldLine({ point: point(3, 2), angleRad: Math.PI / 2 + 0.03 }, 'by-hand');
    const settled = settleAxis(VISOR, [], rough);
    expect(error(settled, { point: point(0, 0), angleRad: Math.PI / 2 }).deg).toBeLessThan(0.02);
    expect(settled.rule).toBe('by-hand');
    const upright = settleAxis(
      VISOR,
      [],
      foldLine({ point: point(3, 2), angleRad: Math.PI / 2 }, 'vertical'),
    );
    expect(upright.angleRad).toBe(Math.PI / 2);
    expect(Math.abs(upright.point.x)).toBeLessThan(0.02);
    expect(upright.rule).toBe('vertical');
  });
});
