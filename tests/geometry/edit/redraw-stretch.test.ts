import { describe, expect, it } from 'vitest';
import { redrawStretch } from '../../../src/geometry/edit/redraw-stretch.ts';
import type { PieceLine } from '../../../src/geometry/line-kinds.ts';
import { pathAreaMm2 } from '../../../src/geometry/measure.ts';
import { polylinePath, reversePath } from '../../../src/geometry/path.ts';
import { ellipse, point, rectangle } from '../drawn.ts';

const newId = () => 'new';
const linesOf = (path: PieceLine['path']): PieceLine[] => [{ id: 'a', kind: 'cut', path }];
const redrawn = (path: PieceLine['path'], part: PieceLine['path']) => {
  const outcome = redrawStretch(linesOf(path), 'a', part, 'score', newId);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value.lines;
};

describe('an edge drawn anew', () => {
  const square = rectangle(40, 40);
  const bump = polylinePath([point(10, 0), point(20, -6), point(30, 0)], false);

  it('takes the place of the nearer part between its ends, drawn either way', () => {
    for (const part of [bump, reversePath(bump)]) {
      const [line] = redrawn(square, part);
      // The triangle of 20 x 6 is added to the square of 1600.
      expect(pathAreaMm2(line!.path)).toBeCloseTo(1660, 9);
    }
  });

  it('takes the place of the part round the start of the line', () => {
    const corner = polylinePath([point(0, 10), point(-5, -5), point(10, 0)], false);
    // The shoelace of the corner (0,10), (-5,-5), (10,0), (0,0): 50 + 25 mm2 more.
    expect(pathAreaMm2(redrawn(square, corner)[0]!.path)).toBeCloseTo(1650, 9);
  });

  it('leaves the rest of the line to the byte', () => {
    const oval = ellipse(40, 30);
    const part = polylinePath([point(40, 0), point(42, 20), point(0, 30)], false);
    const [line] = redrawn(oval, part);
    for (const segment of oval.segments.slice(1, 3)) expect(line!.path.segments).toContainEqual(segment);
  });

  it('is joined to the line by straight segments where its ends lie off it', () => {
    const off = polylinePath([point(10, -1), point(30, -1)], false);
    expect(pathAreaMm2(redrawn(square, off)[0]!.path)).toBeCloseTo(1620, 9);
  });

  it('redraws an open line in its own sense', () => {
    const open = polylinePath([point(0, 0), point(50, 0)], false);
    const [line] = redrawn(open, reversePath(bump));
    expect(line!.path.start).toEqual(point(0, 0));
    expect(line!.path.segments.map(({ to }) => to)).toEqual([
      point(10, 0),
      point(20, -6),
      point(30, 0),
      point(50, 0),
    ]);
  });

  it('becomes a line of its own when it comes back to where it left', () => {
    const loop = polylinePath([point(0, 0), point(-9, -9), point(0, 0)], false);
    const lines = redrawn(square, loop);
    expect(lines[0]!.path).toBe(square);
    expect(lines[1]).toMatchObject({ id: 'new', kind: 'score' });
  });
});
