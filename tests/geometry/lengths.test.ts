import { Bezier } from 'bezier-js';
import fc from 'fast-check';
import { svgPathProperties } from 'svg-path-properties';
import { describe, expect, it } from 'vitest';
import { segmentLengthMm, segmentTAtLength } from '../../src/geometry/arc-length.ts';
import { flattenPath, pathAreaMm2, pathLengthMm, polygonAreaMm2 } from '../../src/geometry/measure.ts';
import { mover, movePath, reflectionAcross } from '../../src/geometry/motion.ts';
import { mapPath, reversePath } from '../../src/geometry/path.ts';
import {
  lengthAtPlaceMm,
  placeAtLength,
  pointAt,
  rightNormalAt,
  tangentAt,
} from '../../src/geometry/place.ts';
import { segmentPoint } from '../../src/geometry/segment.ts';
import {
  anyPath,
  cubic,
  ellipse,
  jstsLine,
  jstsRing,
  line,
  point,
  rectangle,
  SCALES,
  svgData,
} from './drawn.ts';

const CURVE = cubic(point(40, 60), point(70, 50), point(35, 5));

describe('lengths', () => {
  it('agree with bezier-js on a cubic', () => {
    const from = point(0, 0);
    const oracle = new Bezier([0, 0, 40, 60, 70, 50, 35, 5]).length();
    expect(segmentLengthMm(from, CURVE)).toBeCloseTo(oracle, 4);
  });

  it('agree with svg-path-properties on a path of lines and curves', () => {
    const path = {
      closed: false,
      start: point(0, 0),
      segments: [CURVE, line(60, 0), cubic(point(80, 0), point(80, 30), point(60, 30))],
    };
    expect(pathLengthMm(path)).toBeCloseTo(new svgPathProperties(svgData(path)).getTotalLength(), 3);
  });

  it('agree with the length and area that jsts gives the polyline', () => {
    const path = ellipse(120, 70);
    const points = flattenPath(path, 1e-4);
    expect(jstsLine(points, true).getLength()).toBeCloseTo(pathLengthMm(path), 3);
    expect(jstsRing(points).getArea()).toBeCloseTo(pathAreaMm2(path), 1);
  });

  it('give the perimeter of an ellipse as published', () => {
    // FACTS section 5, by AGM: half-axes 10 and 5: 48.442241103; men's mean head 99.75, 77.165: 558.061644.
    expect(pathLengthMm(ellipse(10, 5, point(0, 0), 32))).toBeCloseTo(48.442241103, 7);
    expect(pathLengthMm(ellipse(99.75, 77.165, point(0, 0), 32))).toBeCloseTo(558.061644, 5);
  });

  it('are exact for a cubic that is a straight line run back over itself', () => {
    // x(t) = 90 (t - t^2): out to 22.5 and back.
    expect(segmentLengthMm(point(0, 0), cubic(point(30, 0), point(30, 0), point(0, 0)))).toBeCloseTo(45, 6);
  });

  it('of a segment that is a point are nothing, and it has no direction', () => {
    const spot = {
      closed: false,
      start: point(3, 4),
      segments: [cubic(point(3, 4), point(3, 4), point(3, 4))],
    };
    expect(pathLengthMm(spot)).toBe(0);
    expect(() => tangentAt(spot, { segment: 0, t: 0.5 })).toThrow(RangeError);
  });

  it.each(SCALES)('and areas keep their figures at scale %d', (scale) => {
    const grown = mapPath(ellipse(120, 70, point(30, -20)), ({ x, y }) => point(x * scale, y * scale));
    expect(pathLengthMm(grown) / scale / pathLengthMm(ellipse(120, 70))).toBeCloseTo(1, 11);
    expect(pathAreaMm2(grown) / scale ** 2 / pathAreaMm2(ellipse(120, 70))).toBeCloseTo(1, 11);
  });

  it('survive any rigid motion, and reversal negates the area', () => {
    fc.assert(
      fc.property(
        anyPath,
        fc.double({ min: -7, max: 7, noNaN: true }),
        fc.boolean(),
        (path, angleRad, mirrored) => {
          const moved = movePath(path, { mirrored, angleRad, shift: point(300, -200) });
          const length = pathLengthMm(path);
          expect(Math.abs(pathLengthMm(moved) - length)).toBeLessThan(1e-7 * (1 + length));
          if (!path.closed) return;
          const area = pathAreaMm2(path);
          // A mirrored path is run the other way round, so its area keeps its sign.
          expect(Math.abs(pathAreaMm2(moved) - area)).toBeLessThan(1e-6);
          expect(pathAreaMm2(reversePath(path)) + area).toBeCloseTo(0, 7);
        },
      ),
    );
  });

  it('the area of a path is that of its polyline, closer the finer it is', () => {
    fc.assert(
      fc.property(anyPath, (path) => {
        if (!path.closed) return;
        const flat = polygonAreaMm2(flattenPath(path, 1e-4));
        expect(Math.abs(flat - pathAreaMm2(path))).toBeLessThan(1e-4 * pathLengthMm(path) + 1e-9);
      }),
    );
  });

  it('a reflection across a line undoes itself', () => {
    const mirror = mover(reflectionAcross({ point: point(3, -8), angleRad: 1.2 }));
    const there = mirror(point(41, 17));
    expect(mirror(there).x).toBeCloseTo(41, 12);
    expect(mirror(there).y).toBeCloseTo(17, 12);
  });
});

describe('places by length', () => {
  it('agree with svg-path-properties', () => {
    const path = { closed: false, start: point(0, 0), segments: [CURVE, line(60, 0)] };
    const oracle = new svgPathProperties(svgData(path));
    for (const share of [0, 0.1, 0.37, 0.5, 0.8, 0.99]) {
      const along = share * pathLengthMm(path);
      const expected = oracle.getPointAtLength(along);
      const found = pointAt(path, placeAtLength(path, along));
      // Its own search for the length stops within a thousandth of the segment.
      expect(Math.hypot(found.x - expected.x, found.y - expected.y)).toBeLessThan(
        0.0011 * pathLengthMm(path),
      );
    }
  });

  it('lead back to the length they were found by', () => {
    fc.assert(
      fc.property(anyPath, fc.double({ min: 0, max: 1, noNaN: true }), (path, share) => {
        const along = share * 0.999 * pathLengthMm(path);
        expect(lengthAtPlaceMm(path, placeAtLength(path, along))).toBeCloseTo(along, 6);
      }),
    );
  });

  it('go round and round a closed path and stop at the ends of an open one', () => {
    const closed = rectangle(30, 10);
    expect(placeAtLength(closed, 80 + 35)).toEqual({ segment: 1, t: 0.5 });
    expect(placeAtLength(closed, -5)).toEqual({ segment: 3, t: 0.5 });
    expect(placeAtLength(closed, 80)).toEqual({ segment: 0, t: 0 });
    const open = { ...closed, closed: false };
    expect(placeAtLength(open, 1e9)).toEqual({ segment: 3, t: 1 });
    expect(placeAtLength(open, -1)).toEqual({ segment: 0, t: 0 });
  });

  it('are found on a cubic by length to twelve figures', () => {
    const from = point(0, 0);
    const half = segmentLengthMm(from, CURVE) / 2;
    const t = segmentTAtLength(from, CURVE, half);
    expect(segmentLengthMm(from, CURVE, 0, t)).toBeCloseTo(half, 10);
  });

  it('have the tangent of the curve, also where a control point sits on its end', () => {
    const oracle = new Bezier([0, 0, 40, 60, 70, 50, 35, 5]).derivative(0.3);
    const path = { closed: false, start: point(0, 0), segments: [CURVE] };
    const tangent = tangentAt(path, { segment: 0, t: 0.3 });
    expect(tangent.x * oracle.y - tangent.y * oracle.x).toBeCloseTo(0, 9);
    expect(tangent.x * oracle.x + tangent.y * oracle.y).toBeGreaterThan(0);
    const pinched = {
      closed: false,
      start: point(0, 0),
      segments: [cubic(point(0, 0), point(10, 10), point(10, 10))],
    };
    expect(tangentAt(pinched, { segment: 0, t: 0 }).x).toBeCloseTo(Math.SQRT1_2, 9);
    expect(tangentAt(pinched, { segment: 0, t: 1 }).x).toBeCloseTo(Math.SQRT1_2, 9);
  });

  it('the right-hand normal points out of a counter-clockwise outline', () => {
    const circle = ellipse(50, 50);
    const place = { segment: 1, t: 0.25 };
    const at = segmentPoint(circle.segments[0]!.to, circle.segments[1]!, 0.25);
    const normal = rightNormalAt(circle, place);
    expect(normal.x * at.x + normal.y * at.y).toBeCloseTo(50, 1);
  });
});
