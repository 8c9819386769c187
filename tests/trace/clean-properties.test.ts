/** Cleaning of noisy outlines whose truth is known, over seeded shapes (fast-check). */
import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, it } from 'vitest';
import { flattenPath, pathLengthMm } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { cleanPolyline } from '../../src/trace/clean-polyline.ts';
import { jstsRing, svgData } from '../geometry/drawn.ts';
import { seeded } from '../simulator/seeded.ts';
import { cornerPoints, dense, outlineDistance } from './outline-distance.ts';

const TOLERANCE_MM = 0.15;
/** Traced points lie about this far apart, and scatter by this much (one sigma), mm. */
const STEP_MM = 0.4;
const NOISE_MM = 0.03;
const RUNS = { numRuns: 10, seed: 11 };

/** A truth's points as a trace would have them: evenly spread, each off by noise. */
function traced(truth: readonly PlanePoint[], seed: number): PlanePoint[] {
  const random = seeded(seed);
  return dense(truth, STEP_MM).map(({ x, y }) => ({
    x: x + random.normal(NOISE_MM),
    y: y + random.normal(NOISE_MM),
  }));
}

/** Piet Hein's superellipse |x/a|^n + |y/b|^n = 1, finely. */
const superellipse = (a: number, b: number, n: number): PlanePoint[] =>
  Array.from({ length: 720 }, (_, i) => {
    const angle = (2 * Math.PI * i) / 720;
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    return {
      x: a * Math.sign(c) * Math.abs(c) ** (2 / n),
      y: b * Math.sign(s) * Math.abs(s) ** (2 / n),
    };
  });

/** Corners round a middle, 30 to 70 mm out: they turn by 25 degrees at least and stand 10 mm apart. */
const polygons = fc
  .array(fc.double({ min: 30, max: 70, noNaN: true }), { minLength: 4, maxLength: 8 })
  .map((radii) =>
    radii.map((radius, i) => {
      const angle = (2 * Math.PI * i) / radii.length;
      return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
    }),
  )
  .filter((corners) =>
    corners.every((at, i) => {
      const before = corners[(i + corners.length - 1) % corners.length]!;
      const after = corners[(i + 1) % corners.length]!;
      const turn = Math.atan2(after.y - at.y, after.x - at.x) - Math.atan2(at.y - before.y, at.x - before.x);
      return Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn))) > (25 * Math.PI) / 180;
    }),
  );

const superellipses = fc
  .tuple(
    fc.double({ min: 15, max: 120, noNaN: true }),
    fc.double({ min: 15, max: 120, noNaN: true }),
    fc.double({ min: 1.7, max: 2.8, noNaN: true }),
  )
  .map(([a, b, n]) => superellipse(a, b, n));

const seeds = fc.integer({ min: 1, max: 1e6 });

/** The farthest that truth and cleaned line lie apart, by jsts' discrete Hausdorff distance (points of one to the other's sides), mm. */
const apartMm = (path: Path, truth: readonly PlanePoint[]): number =>
  DiscreteHausdorffDistance.distance(jstsRing(flattenPath(path, 0.01)), jstsRing(truth));

/** Sum of the lengths that bezier-js gives each cubic. */
function bezierLength(path: Path): number {
  let from = path.start;
  let sum = 0;
  for (const segment of path.segments) {
    const { to } = segment;
    sum +=
      segment.kind === 'line'
        ? Math.hypot(to.x - from.x, to.y - from.y)
        : new Bezier([from, segment.c1, segment.c2, to].flatMap(({ x, y }) => [x, y])).length();
    from = to;
  }
  return sum;
}

describe('a polygon with noise', () => {
  it('keeps its corners, every one a corner and in its place, with straight runs between and no joint more', () => {
    fc.assert(
      fc.property(polygons, seeds, (corners, seed) => {
        const { path } = cleanPolyline(traced(corners, seed), true, TOLERANCE_MM);
        expect(path.segments.map(({ kind }) => kind)).toEqual(corners.map(() => 'line'));
        const found = cornerPoints(path);
        expect(found).toHaveLength(corners.length);
        // Two lines fitted through 25 points and more meet within a few times their noise, over the sine of the turn.
        for (const { x, y } of corners)
          expect(Math.min(...found.map((at) => Math.hypot(at.x - x, at.y - y)))).toBeLessThan(5 * NOISE_MM);
      }),
      RUNS,
    );
  });
});

describe('a superellipse with noise', () => {
  it('comes out smooth, with few cubics, nearer to the truth than the tolerance', () => {
    fc.assert(
      fc.property(superellipses, seeds, (truth, seed) => {
        const { path, movedMeanMm } = cleanPolyline(traced(truth, seed), true, TOLERANCE_MM);
        expect(cornerPoints(path)).toHaveLength(0);
        expect(path.segments.length).toBeLessThanOrEqual(12);
        expect(apartMm(path, truth)).toBeLessThan(TOLERANCE_MM);
        expect(outlineDistance(path, truth).p95Mm).toBeLessThan(TOLERANCE_MM);
        expect(movedMeanMm).toBeLessThan(2 * NOISE_MM);
      }),
      RUNS,
    );
  });

  it('is as long as two libraries find it', () => {
    fc.assert(
      fc.property(superellipses, seeds, (truth, seed) => {
        const { path } = cleanPolyline(traced(truth, seed), true, TOLERANCE_MM);
        const lengthMm = pathLengthMm(path);
        expect(lengthMm).toBeCloseTo(bezierLength(path), 5);
        expect(Math.abs(lengthMm - new svgPathProperties(svgData(path)).getTotalLength())).toBeLessThan(0.01);
      }),
      RUNS,
    );
  });
});
