import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import DistanceOp from 'jsts/org/locationtech/jts/operation/distance/DistanceOp.js';
import { describe, expect, it } from 'vitest';
import { indexEdges } from '../../src/geometry/edge-index.ts';
import { indexPath } from '../../src/geometry/flat-path.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import { nearestOnPath } from '../../src/geometry/nearest.ts';
import { mapPath } from '../../src/geometry/path.ts';
import { pointAt } from '../../src/geometry/place.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';
import { anyPath, anyPoint, ellipse, jstsLine, point, rectangle, SCALES } from './drawn.ts';

describe('the nearest point on a path', () => {
  it('is the one that bezier-js projects to', () => {
    const path = {
      closed: false,
      start: point(0, 0),
      segments: [
        {
          kind: 'cubic' as const,
          c1: point(40, 60),
          c2: point(70, 50),
          to: point(35, 5),
          joint: 'smooth' as const,
        },
      ],
    };
    const oracle = new Bezier([0, 0, 40, 60, 70, 50, 35, 5]);
    for (const query of [point(0, 50), point(60, 20), point(15, 30), point(-5, -5)]) {
      expect(nearestOnPath(path, query).distanceMm).toBeCloseTo(distanceMm(oracle.project(query), query), 3);
    }
  });

  it('of a circle lies on the ray through the query', () => {
    const circle = ellipse(100, 100, point(5, 7), 16);
    const { point: foot, distanceMm: distance } = nearestOnPath(circle, point(5 + 30, 7 + 40));
    expect(distance).toBeCloseTo(50, 6);
    expect(foot.x).toBeCloseTo(65, 6);
    expect(foot.y).toBeCloseTo(87, 6);
  });

  it('is never farther than any sample of the path, and lies where its place says', () => {
    fc.assert(
      fc.property(anyPath, anyPoint, (path, query) => {
        const found = nearestOnPath(path, query);
        const best = Math.min(...flattenPath(path, 0.01).map((p) => distanceMm(p, query)));
        expect(found.distanceMm).toBeLessThanOrEqual(best + 1e-9);
        expect(distanceMm(pointAt(path, found.place), query)).toBeCloseTo(found.distanceMm, 9);
      }),
    );
  });

  it('of a query at a corner, on an edge, and on a segment of no length', () => {
    const square = rectangle(10, 10);
    expect(nearestOnPath(square, point(10, 10)).distanceMm).toBe(0);
    expect(nearestOnPath(square, point(13, 14)).distanceMm).toBe(5);
    expect(nearestOnPath(square, point(4, -3))).toMatchObject({
      place: { segment: 0, t: 0.4 },
      distanceMm: 3,
      alongMm: 4,
    });
    const spot = {
      closed: false,
      start: point(1, 1),
      segments: [{ kind: 'line' as const, to: point(1, 1), joint: 'corner' as const }],
    };
    expect(nearestOnPath(spot, point(1, 3)).distanceMm).toBe(2);
    expect(() => nearestOnPath({ closed: false, start: point(0, 0), segments: [] }, point(0, 0))).toThrow(
      RangeError,
    );
  });
});

describe('the edge index', () => {
  it('agrees with the distance that jsts finds, near and far, inside and out', () => {
    const points = flattenPath(ellipse(200, 90, point(12, -30)), 0.05);
    const index = indexEdges([{ points, closed: true }]);
    const oracle = jstsLine(points, true);
    fc.assert(
      fc.property(anyPoint, fc.constantFrom(0.5, 3, 40), ({ x, y }, spread) => {
        const query = point(x * spread, y * spread);
        const expected = DistanceOp.distance(oracle, jstsLine([query, query], false));
        expect(index.nearest(query.x, query.y)!.distanceMm).toBeCloseTo(expected, 9);
      }),
    );
  });

  it('finds for any paths together what testing every edge finds', () => {
    fc.assert(
      fc.property(fc.array(anyPath, { minLength: 1, maxLength: 3 }), anyPoint, (paths, query) => {
        const lines = paths.map((path) => ({ points: flattenPath(path, 0.5), closed: path.closed }));
        const slow = Math.min(
          ...lines.map(({ points, closed }) =>
            DistanceOp.distance(
              jstsLine(points.length > 1 ? points : [points[0]!, points[0]!], closed),
              jstsLine([query, query], false),
            ),
          ),
        );
        expect(indexEdges(lines).nearest(query.x, query.y)!.distanceMm).toBeCloseTo(slow, 9);
      }),
    );
  });

  it.each(SCALES)('is as exact at scale %d', (scale) => {
    const path = mapPath(ellipse(200, 90), ({ x, y }) => point(x * scale, y * scale));
    const index = indexPath(path);
    for (const { point: at } of samplePath(path, 7 * scale)) {
      expect(index.nearest(at.x, at.y)!.distanceMm / scale).toBeLessThan(0.01);
      // 0.9 of the way in, the nearest point is not where the query came from: compare with the exact one.
      const query = point(0.9 * at.x, 0.9 * at.y);
      const exact = nearestOnPath(path, query).distanceMm / scale;
      expect(Math.abs(index.nearest(query.x, query.y)!.distanceMm / scale - exact)).toBeLessThan(0.01);
    }
  });

  it('finds nothing beyond the reach it is given', () => {
    const index = indexEdges([{ points: [point(0, 0), point(10, 0)], closed: false }]);
    expect(index.nearest(5, 3, 2.999)).toBeUndefined();
    expect(index.nearest(5, 3, 3.001)!.distanceMm).toBe(3);
    expect(index.nearest(5, 0)!.distanceMm).toBe(0);
  });

  it('takes a single point for a line of no length, and refuses none at all', () => {
    const index = indexEdges([{ points: [point(2, 2)], closed: true }]);
    expect(index.nearest(5, 6)!.distanceMm).toBe(5);
    expect(() => indexEdges([])).toThrow(RangeError);
  });
});

describe('samples of a path', () => {
  it('stand for its whole length, spread no farther than asked, corners among them', () => {
    fc.assert(
      fc.property(anyPath, fc.constantFrom(0.7, 5, 1e4), (path, spacing) => {
        const samples = samplePath(path, spacing);
        const total = samples.reduce((sum, { weightMm }) => sum + weightMm, 0);
        expect(
          Math.abs(total - samples[samples.length - 1]!.alongMm - samples[0]!.alongMm),
        ).toBeLessThanOrEqual(spacing + 1e-6);
        samples.slice(1).forEach(({ alongMm }, i) => {
          expect(alongMm - samples[i]!.alongMm).toBeLessThanOrEqual(spacing + 1e-9);
          expect(alongMm).toBeGreaterThanOrEqual(samples[i]!.alongMm);
        });
        for (const segment of path.segments) {
          if (segment.joint !== 'corner') continue;
          expect(Math.min(...samples.map((s) => distanceMm(s.point, segment.to)))).toBeLessThan(1e-6);
        }
      }),
    );
  });
});
