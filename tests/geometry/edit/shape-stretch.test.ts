/** Corners cut and rounded, stretches straightened, faired and cleaned; against bezier-js, jsts and formulas. */
import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import { describe, expect, it } from 'vitest';
import { alongEdgeMm } from '../../../src/geometry/edit/along-edge.ts';
import { cutCorner, roundCorner } from '../../../src/geometry/edit/corner-shape.ts';
import { fairStretch } from '../../../src/geometry/edit/fair.ts';
import {
  centreMarkPath,
  middleBetween,
  notchPaths,
  placementPaths,
  wordsPath,
} from '../../../src/geometry/edit/marks.ts';
import { segmentsAt } from '../../../src/geometry/edit/nodes.ts';
import { smoothThirdDifferences } from '../../../src/geometry/edit/smooth-samples.ts';
import { indexJoints, snap, snapTargets } from '../../../src/geometry/edit/snap.ts';
import {
  moveBetween,
  pathOfStretch,
  replaceStretch,
  straightenStretch,
} from '../../../src/geometry/edit/stretch.ts';
import { flattenPath, isInside, pathAreaMm2, pathLengthMm } from '../../../src/geometry/measure.ts';
import { nearestOnPath } from '../../../src/geometry/nearest.ts';
import { type Path, polylinePath, reversePath } from '../../../src/geometry/path.ts';
import { segmentStart } from '../../../src/geometry/place.ts';
import { distanceMm } from '../../../src/geometry/point.ts';
import type { Outcome } from '../../../src/outcome.ts';
import { cleanStretch } from '../../../src/trace/clean-stretch.ts';
import { ellipse, GUARD, jstsLine, point, rectangle } from '../drawn.ts';

function given<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

describe('a corner', () => {
  it('cut or rounded at every joint of a rectangle leaves the area that the formulas say', () => {
    let [cut, round] = [rectangle(80, 50), rectangle(80, 50)];
    for (const joint of [3, 2, 1, 0]) {
      cut = given(cutCorner(cut, joint, 6));
      round = given(roundCorner(round, joint, 6));
    }
    expect(pathAreaMm2(cut)).toBeCloseTo(80 * 50 - 4 * 18, 9);
    // Four quarter circles; the cubic arc's own error is below 3e-4 of the radius.
    expect(pathAreaMm2(round)).toBeCloseTo(80 * 50 - (4 - Math.PI) * 36, 1);
  });

  it('rounded between curves has the radius by bezier-js and runs on smoothly', () => {
    for (const joint of [0, 1, 3, 4]) {
      const path = given(roundCorner(GUARD, joint, 5));
      // It lies after what is left of the segment that came to the corner.
      const index = segmentsAt(GUARD, joint).before! + 1;
      const segment = path.segments[index]!;
      if (segment.kind !== 'cubic') throw new Error('the arc is not where it should be');
      const arc = new Bezier(
        [segmentStart(path, index), segment.c1, segment.c2, segment.to].flatMap(({ x, y }) => [x, y]),
      );
      expect(Math.abs(arc.curvature(0.5).r)).toBeCloseTo(5, 1);
      expect(path.segments.at(-1)!.to).toEqual(path.start);
      expect(Math.abs(pathAreaMm2(path) - pathAreaMm2(GUARD))).toBeLessThan(25);
    }
  });

  it('without room, or where nothing turns, is left alone with a reason', () => {
    expect(roundCorner(rectangle(80, 8), 0, 9)).toMatchObject({ ok: false, problem: { code: 'no-room' } });
    expect(cutCorner(rectangle(80, 8), 0, 8)).toMatchObject({ ok: false, problem: { code: 'no-room' } });
    expect(roundCorner(ellipse(30, 20), 1, 2)).toMatchObject({ ok: false, problem: { code: 'no-corner' } });
  });
});

describe('a stretch', () => {
  it('put back where it was taken from changes nothing, wherever it lies', () => {
    fc.assert(
      fc.property(fc.nat(4), fc.nat(4), (from, to) => {
        const same = replaceStretch(GUARD, { from, to }, pathOfStretch(GUARD, { from, to }));
        expect(pathAreaMm2(same)).toBeCloseTo(pathAreaMm2(GUARD), 9);
        expect(same.segments).toHaveLength(5);
      }),
    );
  });

  it('made straight is one segment, and the largest move agrees with the Hausdorff distance of jsts', () => {
    const straight = straightenStretch(GUARD, { from: 1, to: 3 });
    expect(straight.segments).toHaveLength(4);
    expect(straight.segments.find(({ to }) => to === GUARD.segments[2]!.to)!.kind).toBe('line');
    const [before, after] = [
      pathOfStretch(GUARD, { from: 1, to: 3 }),
      pathOfStretch(straight, { from: 1, to: 2 }),
    ];
    const oracle = DiscreteHausdorffDistance.distance(
      jstsLine(flattenPath(before, 0.002), false),
      jstsLine(flattenPath(after, 0.002), false),
      0.005,
    );
    expect(Math.abs(moveBetween(before, after).maxMm - oracle)).toBeLessThan(0.1);
  });

  it('past the start of a closed line is made straight too', () => {
    const straight = straightenStretch(GUARD, { from: 4, to: 1 });
    expect(straight.segments).toHaveLength(4);
    expect(straight.segments.at(-1)!.to).toEqual(straight.start);
  });
});

describe('smoothing samples', () => {
  it('leaves a parabola alone, whose third differences are nothing', () => {
    const parabola = Array.from({ length: 60 }, (_, i) => point(i, (i - 20) ** 2 / 40));
    smoothThirdDifferences(parabola, 1e6).forEach(({ x, y }, i) => {
      expect(x).toBeCloseTo(parabola[i]!.x, 6);
      expect(y).toBeCloseTo(parabola[i]!.y, 6);
    });
  });

  it('solves its equations: what is left over is nothing', () => {
    const points = Array.from({ length: 40 }, (_, i) => point(i, Math.sin(i * 1.7)));
    const strength = 50;
    const smooth = smoothThirdDifferences(points, strength);
    const third = (i: number) =>
      smooth[i + 3]!.y - 3 * smooth[i + 2]!.y + 3 * smooth[i + 1]!.y - smooth[i]!.y;
    const weights = [-1, 3, -3, 1];
    for (let i = 2; i < 38; i++) {
      // Derivative of the sum of squares by y_i.
      let slope = smooth[i]!.y - points[i]!.y;
      for (let k = 0; k < 4; k++)
        if (i - k >= 0 && i - k + 3 < 40) slope += strength * weights[k]! * third(i - k);
      expect(slope).toBeCloseTo(0, 9);
    }
  });
});

describe('fairing', () => {
  /** An arc through points that a shaky hand set. */
  const shaky: Path = {
    closed: false,
    start: point(100, 0),
    segments: Array.from({ length: 12 }, (_, i) => {
      const at = (k: number) => {
        const radius = 100 + 0.25 * Math.sin(k * 12.9898);
        const angle = (k * Math.PI) / 24;
        return { angle, at: point(radius * Math.cos(angle), radius * Math.sin(angle)) };
      };
      const [from, to] = [at(i), at(i + 1)];
      const handle = (100 * Math.PI) / 72;
      return {
        kind: 'cubic',
        c1: point(from.at.x - handle * Math.sin(from.angle), from.at.y + handle * Math.cos(from.angle)),
        c2: point(to.at.x + handle * Math.sin(to.angle), to.at.y - handle * Math.cos(to.angle)),
        to: to.at,
        joint: 'smooth',
      } as const;
    }),
  };

  it('moves no point farther than the limit, and makes the curvature many times more even', () => {
    for (const limitMm of [0.1, 0.3, 1]) {
      const faired = fairStretch(shaky, { from: 0, to: 12 }, limitMm);
      expect(faired.moved.maxMm).toBeLessThanOrEqual(limitMm);
      expect(faired.unevenAfter).toBeLessThan(faired.unevenBefore);
    }
    const faired = fairStretch(shaky, { from: 0, to: 12 }, 0.6);
    expect(faired.unevenAfter).toBeLessThan(faired.unevenBefore / 10);
    expect(faired.path.segments.length).toBeLessThan(12);
    expect([faired.path.start, faired.path.segments.at(-1)!.to]).toEqual([
      shaky.start,
      shaky.segments[11]!.to,
    ]);
  });

  it('keeps corners and straight segments inside the stretch', () => {
    const faired = fairStretch(GUARD, { from: 0, to: 0 }, 0.5).path;
    expect(faired.segments.filter(({ joint }) => joint === 'corner')).toHaveLength(4);
    for (const { to } of GUARD.segments.filter(({ joint }) => joint === 'corner')) {
      expect(faired.segments.some((segment) => distanceMm(segment.to, to) < 1e-9)).toBe(true);
    }
  });
});

describe('cleaning a stretch again', () => {
  it('takes fewer joints at a wider tolerance and keeps within it; the ends stay', () => {
    const many: Path = polylinePath(
      Array.from({ length: 80 }, (_, i) => point(i, 12 * Math.sin(i / 12) + 0.02 * Math.sin(i * 7))),
      false,
    );
    const cleaned = cleanStretch(many, { from: 10, to: 70 }, 0.15);
    expect(cleaned.moved.maxMm).toBeLessThan(0.15);
    expect(cleaned.path.segments.length).toBeLessThan(40);
    expect(cleaned.path.segments.slice(0, 10)).toEqual(many.segments.slice(0, 10));
    const whole = cleanStretch(GUARD, undefined, 0.15);
    expect(whole.path.closed).toBe(true);
    expect(whole.path.segments.length).toBeLessThanOrEqual(8);
    expect(whole.moved.maxMm).toBeLessThan(0.1);
  });
});

describe('marks', () => {
  const edge = { path: GUARD, kind: 'cut' } as const;
  const outline = flattenPath(GUARD, 0.01);

  it('notches begin on the edge and stand square in the foam, whichever way the line runs', () => {
    for (const path of [GUARD, reversePath(GUARD)]) {
      const { place } = nearestOnPath(path, point(180, 30));
      for (const count of [1, 2] as const) {
        const notches = notchPaths({ path, kind: 'cut' }, place, 5, count);
        expect(notches).toHaveLength(count);
        for (const notch of notches) {
          expect(nearestOnPath(GUARD, notch.start).distanceMm).toBeLessThan(1e-9);
          expect(pathLengthMm(notch)).toBeCloseTo(5, 9);
          expect(isInside(notch.segments[0]!.to, outline)).toBe(true);
        }
      }
    }
    const opening = { path: reversePath(GUARD), kind: 'cutout' } as const;
    const [notch] = notchPaths(opening, nearestOnPath(opening.path, point(180, 30)).place, 5, 1);
    expect(isInside(notch!.segments[0]!.to, outline)).toBe(false);
  });

  it('a centre mark has its tip on the edge, half-way between two joints by length', () => {
    const [from, to] = [
      { segment: 1, t: 0 },
      { segment: 3, t: 0 },
    ];
    const middle = middleBetween(GUARD, from, to, pathLengthMm(GUARD));
    const mark = centreMarkPath(edge, middle, 5);
    const halves = alongEdgeMm(GUARD, from, middle).shorterMm;
    expect(halves).toBeCloseTo(alongEdgeMm(GUARD, middle, to).shorterMm, 6);
    expect(nearestOnPath(GUARD, mark.start).distanceMm).toBeLessThan(1e-9);
    expect(Math.abs(pathAreaMm2(mark))).toBeCloseTo(10, 9);
  });

  it('a placement outline is the other piece, true to scale', () => {
    const lines = [{ id: 'a', kind: 'cut' as const, path: GUARD }];
    const [laid] = placementPaths(lines, { mirrored: true, angleRad: 1, shift: point(20, 30) });
    expect(pathAreaMm2(laid!)).toBeCloseTo(pathAreaMm2(GUARD), 6);
    expect(pathLengthMm(wordsPath(point(0, 0), 'glue here', 5))).toBeGreaterThan(15);
  });
});

describe('snapping', () => {
  const lines = [{ id: 'a', kind: 'cut' as const, path: rectangle(80, 50) }];

  it('prefers a joint, then the axis, then an edge, and leaves what is out of reach', () => {
    const axis = { point: point(40, 0), angleRad: Math.PI / 2 };
    const targets = snapTargets(lines, () => false, axis);
    expect(snap(point(79, 1), targets, 2)).toEqual({ point: point(80, 0), to: 'joint' });
    expect(snap(point(41, 20), targets, 2)).toMatchObject({ to: 'axis', point: { y: 20 } });
    expect(snap(point(20, 1.5), targets, 2)).toEqual({ point: point(20, 0), to: 'edge' });
    expect(snap(point(20, 9), targets, 2)).toEqual({ point: point(20, 9), to: undefined });
  });

  it('never draws a joint to itself or to the line that moves with it', () => {
    const targets = snapTargets(lines, ({ joint }) => joint === 0);
    expect(snap(point(0.5, 0.5), targets, 2).to).toBeUndefined();
  });

  it('finds the nearest of all joints', () => {
    const index = indexJoints([rectangle(80, 50), ellipse(10, 8, point(40, 25))]);
    expect(index.nearest(point(79, 49), 3)).toEqual({ line: 0, joint: 2 });
    expect(index.nearest(point(50.4, 25), 3)).toEqual({ line: 1, joint: 0 });
    expect(index.nearest(point(20, 20), 3)).toBeUndefined();
  });
});
