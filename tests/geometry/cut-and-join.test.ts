import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { crossingsOf, cutRegion, partsBesideLine } from '../../src/geometry/cut-by-line.ts';
import { pathAreaMm2, pathLengthMm } from '../../src/geometry/measure.ts';
import { offsetFromLineMm } from '../../src/geometry/motion.ts';
import { nearestOnPath } from '../../src/geometry/nearest.ts';
import { mapPath, type Path, polylinePath } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { pointAt } from '../../src/geometry/place.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';
import { joinPaths, splitPath, startAt, subPath } from '../../src/geometry/split-path.ts';
import { anyPath, cubic, ellipse, line, point, rectangle, SCALES } from './drawn.ts';

const total = (paths: readonly Path[]) => paths.reduce((sum, path) => sum + pathLengthMm(path), 0);
const area = (paths: readonly Path[]) => paths.reduce((sum, path) => sum + pathAreaMm2(path), 0);
const share = fc.double({ min: 0, max: 1, noNaN: true });

describe('parts of a path', () => {
  it('between places lie on the path and add up to it', () => {
    fc.assert(
      fc.property(anyPath, share, share, (path, a, b) => {
        const count = path.segments.length;
        const places = [a, b]
          .sort((p, q) => p - q)
          .map((s) => {
            const segment = Math.min(count - 1, Math.floor(s * count));
            return { segment, t: s * count - segment };
          });
        const parts = splitPath(path, places);
        expect(total(parts)).toBeCloseTo(pathLengthMm(path), 4);
        for (const part of parts) {
          for (const { point: at } of samplePath(part, 20)) {
            expect(nearestOnPath(path, at).distanceMm).toBeLessThan(1e-6);
          }
        }
      }),
    );
  });

  it('run on over the start of a closed path', () => {
    const part = subPath(rectangle(30, 10), { segment: 3, t: 0.5 }, { segment: 0, t: 0.5 });
    expect(part).toEqual({
      closed: false,
      start: point(0, 5),
      segments: [line(0, 0), line(15, 0, 'smooth')],
    });
  });

  it('of an open path are never asked backwards', () => {
    const open = polylinePath([point(0, 0), point(10, 0)], false);
    expect(() => subPath(open, { segment: 0, t: 0.8 }, { segment: 0, t: 0.2 })).toThrow(RangeError);
  });

  it('split at a joint leave no empty segment behind', () => {
    const halves = splitPath(rectangle(30, 10), [
      { segment: 0, t: 1 },
      { segment: 3, t: 0 },
    ]);
    expect(halves.map(({ segments }) => segments.length)).toEqual([2, 2]);
    expect(
      splitPath(polylinePath([point(0, 0), point(9, 0)], false), [
        { segment: 0, t: 0 },
        { segment: 0, t: 1 },
      ]),
    ).toHaveLength(1);
  });

  it('split at one place told twice are not doubled', () => {
    const twice = [
      { segment: 0, t: 1 },
      { segment: 1, t: 0 },
    ];
    expect(splitPath(rectangle(30, 10), twice)).toHaveLength(1);
    expect(splitPath(rectangle(30, 10), [twice[0]!, { segment: 2, t: 0.5 }, twice[1]!])).toHaveLength(2);
    const seam = [
      { segment: 3, t: 1 },
      { segment: 0, t: 0 },
    ];
    expect(total(splitPath(rectangle(30, 10), seam))).toBeCloseTo(80, 9);
  });

  it('keep the joints that the maker set', () => {
    const path: Path = {
      closed: false,
      start: point(0, 0),
      segments: [
        line(10, 0, 'corner'),
        cubic(point(12, 0), point(15, 3), point(15, 5), 'smooth'),
        line(15, 9),
      ],
    };
    const part = subPath(path, { segment: 0, t: 0.5 }, { segment: 2, t: 1 });
    expect(part.segments.map(({ joint }) => joint)).toEqual(['corner', 'smooth', 'corner']);
  });

  it('joined again are the path they came from', () => {
    const path = ellipse(40, 25);
    const halves = splitPath(path, [
      { segment: 0, t: 0.3 },
      { segment: 2, t: 0.6 },
    ]);
    const joined = joinPaths(halves, { closed: true });
    expect(pathAreaMm2(joined)).toBeCloseTo(pathAreaMm2(path), 9);
    expect(pathFaults(joined)).toEqual([]);
    expect(joined.segments.every(({ joint }) => joint === 'smooth')).toBe(true);
    expect(
      joinPaths(halves, { closed: true, joint: 'corner' }).segments.filter(({ joint }) => joint === 'corner'),
    ).toHaveLength(2);
  });

  it('too far apart are not joined', () => {
    const part = polylinePath([point(0, 0), point(10, 0)], false);
    expect(() => joinPaths([part, polylinePath([point(10.1, 0), point(20, 0)], false)])).toThrow('apart');
  });

  it('a closed path may start elsewhere', () => {
    const turned = startAt(ellipse(40, 25), { segment: 1, t: 0.5 });
    expect(pathAreaMm2(turned)).toBeCloseTo(pathAreaMm2(ellipse(40, 25)), 9);
    expect(pointAt(ellipse(40, 25), { segment: 1, t: 0.5 })).toEqual(turned.start);
  });
});

describe('cutting by a line', () => {
  it.each(SCALES)('splits a region into areas that add up, at scale %d', (scale) => {
    const path = mapPath(ellipse(120, 70, point(30, -20)), ({ x, y }) => point(x * scale, y * scale));
    fc.assert(
      fc.property(fc.double({ min: -4, max: 4, noNaN: true }), share, (angleRad, along) => {
        const cut = { point: point(scale * (30 + 100 * (along - 0.5)), -20 * scale), angleRad };
        const { left, right } = cutRegion(path, cut);
        expect(area([...left, ...right]) / pathAreaMm2(path)).toBeCloseTo(1, 9);
        for (const part of left)
          expect(
            samplePath(part, 9 * scale).every(({ point: p }) => offsetFromLineMm(cut, p) > -1e-8 * scale),
          ).toBe(true);
        for (const part of right)
          expect(
            samplePath(part, 9 * scale).every(({ point: p }) => offsetFromLineMm(cut, p) < 1e-8 * scale),
          ).toBe(true);
      }),
      { numRuns: 30 },
    );
  });

  it('halves a circle into segments of the published area', () => {
    // Circular segment, chord 21 and height 6, radius 12.1875, angle 118.97953 deg (FACTS section 5): r^2/2 (a - sin a).
    const angle = (118.979525 * Math.PI) / 180;
    const expected = (12.1875 ** 2 / 2) * (angle - Math.sin(angle));
    const { left } = cutRegion(ellipse(12.1875, 12.1875, point(0, 0), 16), {
      point: point(0, 12.1875 - 6),
      angleRad: 0,
    });
    expect(area(left)).toBeCloseTo(expected, 4);
  });

  it('of a comb gives every tooth its own region', () => {
    const comb = polylinePath(
      [
        point(0, 0),
        point(50, 0),
        point(50, 20),
        point(40, 20),
        point(40, 5),
        point(30, 5),
        point(30, 20),
        point(20, 20),
        point(20, 5),
        point(10, 5),
        point(10, 20),
        point(0, 20),
      ],
      true,
    );
    const { left, right } = cutRegion(comb, { point: point(0, 10), angleRad: 0 });
    expect(left.map((tooth) => pathAreaMm2(tooth).toFixed(9))).toEqual(Array(3).fill('100.000000000'));
    expect(right).toHaveLength(1);
    expect(pathAreaMm2(right[0]!)).toBeCloseTo(50 * 10 - 2 * 10 * 5, 9);
  });

  it('through corners, along an edge and past the outline', () => {
    const square = rectangle(10, 10);
    const diagonal = cutRegion(square, { point: point(0, 0), angleRad: Math.PI / 4 });
    expect(area(diagonal.left)).toBeCloseTo(50, 9);
    expect(area(diagonal.right)).toBeCloseTo(50, 9);
    const edge = cutRegion(square, { point: point(0, 0), angleRad: 0 });
    expect([edge.left.length, edge.right.length]).toEqual([1, 0]);
    const beside = cutRegion(square, { point: point(0, -1), angleRad: 0 });
    expect([area(beside.left), area(beside.right)]).toEqual([100, 0]);
    expect(crossingsOf(square, { point: point(0, -1), angleRad: 0 })).toEqual([]);
  });

  it('finds each crossing of a cubic once, touching not counted', () => {
    // An S that crosses y = 0 three times, symmetric about its middle.
    const wave: Path = {
      closed: false,
      start: point(0, -10),
      segments: [cubic(point(10, 40), point(20, -40), point(30, 10))],
    };
    const found = crossingsOf(wave, { point: point(0, 0), angleRad: 0 });
    expect(found.map(({ into }) => into)).toEqual(['left', 'right', 'left']);
    expect(found[1]!.point.x).toBeCloseTo(15, 9);
    for (const { point: at } of found) expect(at.y).toBeCloseTo(0, 10);
    const hump: Path = {
      closed: false,
      start: point(0, 0),
      segments: [cubic(point(10, 40), point(20, 40), point(30, 0))],
    };
    expect(crossingsOf(hump, { point: point(0, 30.001), angleRad: 0 })).toEqual([]);
    // On the very top the two crossings are one place, or none.
    const touched = crossingsOf(hump, { point: point(0, 30), angleRad: 0 });
    for (const { point: at } of touched) expect(at.x).toBeCloseTo(15, 5);
    expect(crossingsOf(hump, { point: point(0, 29.999), angleRad: 0 })).toHaveLength(2);
  });

  it('splits an open path too', () => {
    const zigzag = polylinePath([point(-10, 0), point(10, 5), point(-10, 10)], false);
    const { left, right } = partsBesideLine(zigzag, { point: point(0, 0), angleRad: Math.PI / 2 });
    expect([left.length, right.length]).toEqual([2, 1]);
    expect(total([...left, ...right])).toBeCloseTo(pathLengthMm(zigzag), 9);
  });
});

describe('faults of a path', () => {
  it('none on sound ones', () => {
    expect(pathFaults(ellipse(40, 25))).toEqual([]);
    expect(pathFaults(rectangle(1e-6, 2e-6))).toEqual([]);
  });

  it('are each found with their place', () => {
    expect(pathFaults({ closed: true, start: point(1, 2), segments: [] })[0]).toEqual({
      code: 'no-segments',
      at: point(1, 2),
    });
    expect(pathFaults({ closed: false, start: point(0, 0), segments: [line(Number.NaN, 3)] })[0]!.code).toBe(
      'not-finite',
    );
    expect(
      pathFaults({
        closed: true,
        start: point(0, 0),
        segments: [line(10, 0), line(0, 10), line(0.01, 0)],
      })[0]!.code,
    ).toBe('not-closed');
    expect(
      pathFaults({ closed: false, start: point(0, 0), segments: [line(10, 0), line(10, 0)] })[0],
    ).toEqual({ code: 'empty-segment', at: point(10, 0) });
    const bow = polylinePath([point(0, 0), point(10, 10), point(10, 0), point(0, 10)], true);
    expect(pathFaults(bow)).toEqual([{ code: 'crosses-itself', at: point(5, 5) }]);
    const loop: Path = {
      closed: false,
      start: point(0, 0),
      segments: [cubic(point(60, 40), point(-30, 40), point(30, 0))],
    };
    expect(pathFaults(loop)[0]!.at.x).toBeCloseTo(15, 2);
  });
});
