import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alongLineMm, offsetFromLineMm } from '../../src/geometry/motion.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { foldLine } from '../../src/mirror/axis.ts';
import {
  axisEnds,
  axisThrough,
  fromLeftMm,
  leanDegrees,
  leanedTo,
  standingFromLeft,
} from '../../src/ui/fold-check/axis-by-hand.ts';

const SQUARE = [
  { x: 10, y: 20 },
  { x: 50, y: 20 },
  { x: 50, y: 100 },
  { x: 10, y: 100 },
];
const UPRIGHT = foldLine({ point: { x: 30, y: 60 }, angleRad: Math.PI / 2 }, 'free');

const anyPoint = fc.record({
  x: fc.double({ min: -500, max: 500, noNaN: true }),
  y: fc.double({ min: -500, max: 500, noNaN: true }),
});
const anyAxis = fc
  .tuple(anyPoint, fc.double({ min: 0, max: Math.PI, noNaN: true }))
  .map(([point, angleRad]) => foldLine({ point, angleRad }, 'free'));

describe('the fold line placed by hand', () => {
  it('has its ends on itself, beyond everything of the piece', () => {
    fc.assert(
      fc.property(anyAxis, fc.array(anyPoint, { minLength: 3, maxLength: 12 }), (axis, outline) => {
        const [low, high] = axisEnds(axis, outline);
        expect(offsetFromLineMm(axis, low)).toBeCloseTo(0, 6);
        expect(offsetFromLineMm(axis, high)).toBeCloseTo(0, 6);
        for (const point of outline) {
          const along = alongLineMm(axis, point);
          expect(along).toBeGreaterThanOrEqual(alongLineMm(axis, low) - 1e-6);
          expect(along).toBeLessThanOrEqual(alongLineMm(axis, high) + 1e-6);
        }
      }),
    );
  });

  it('passes through both points that it was dragged to, and says that a hand placed it', () => {
    fc.assert(
      fc.property(anyPoint, anyPoint, (a, b) => {
        fc.pre(distanceMm(a, b) > 1);
        const axis = axisThrough(a, b)!;
        expect(offsetFromLineMm(axis, a)).toBeCloseTo(0, 6);
        expect(offsetFromLineMm(axis, b)).toBeCloseTo(0, 6);
        expect(axis.rule).toBe('by-hand');
      }),
    );
  });

  it('has no direction when both ends are dragged to one place', () => {
    expect(axisThrough({ x: 3, y: 4 }, { x: 3.2, y: 4 })).toBeUndefined();
  });

  it('leans to the right by positive degrees, about the place beside the middle of the piece', () => {
    expect(leanDegrees(UPRIGHT)).toBeCloseTo(0, 9);
    const leaning = leanedTo(UPRIGHT, 10, { x: 0, y: 60 });
    expect(leanDegrees(leaning)).toBeCloseTo(10, 9);
    expect(offsetFromLineMm(leaning, { x: 30, y: 60 })).toBeCloseTo(0, 9);
    // Going up it goes to the right.
    expect(offsetFromLineMm(leaning, { x: 30, y: 100 })).toBeGreaterThan(0);
  });

  it('stands as far from the left edge as was typed', () => {
    expect(fromLeftMm(UPRIGHT, SQUARE)).toBeCloseTo(20, 9);
    fc.assert(
      fc.property(anyAxis, fc.double({ min: -100, max: 100, noNaN: true }), (axis, wantedMm) => {
        const moved = standingFromLeft(axis, SQUARE, wantedMm);
        expect(fromLeftMm(moved, SQUARE)).toBeCloseTo(wantedMm, 6);
        expect(moved.angleRad).toBeCloseTo(axis.angleRad, 9);
      }),
    );
  });
});
