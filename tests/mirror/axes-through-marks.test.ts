import { describe, expect, it } from 'vitest';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { axesThroughMarks } from '../../src/mirror/axes-through-marks.ts';
import { point } from '../geometry/drawn.ts';
import { NEAR_CIRCLE } from './outlines.ts';

const mark = (id: string, x: number, y: number): PieceLine => ({
  id,
  kind: 'mark',
  path: polylinePath([point(x, y - 3), point(x, y + 3)], false),
});

describe('fold lines through two marks', () => {
  it('single one axis out of a near-circle, stated as through marks', () => {
    const [first, ...others] = axesThroughMarks(NEAR_CIRCLE, [
      mark('top', 0, 90),
      mark('nose', 0, -90),
      mark('ear', 80, 10),
    ]);
    expect(first!.markIds).toEqual(['top', 'nose']);
    expect(first!.axis.rule).toBe('through-marks');
    expect(first!.axis.angleRad).toBeCloseTo(Math.PI / 2, 9);
    expect(first!.axis.point.x).toBeCloseTo(0, 9);
    expect(first!.p95Mm).toBeLessThan(0.01);
    expect(others).toHaveLength(2);
  });

  it('are none without two marks that lie apart', () => {
    expect(axesThroughMarks(NEAR_CIRCLE, [mark('only', 0, 90)])).toEqual([]);
    expect(axesThroughMarks(NEAR_CIRCLE, [mark('a', 0, 90), mark('b', 4, 90)])).toEqual([]);
  });
});
