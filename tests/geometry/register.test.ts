import fc from 'fast-check';
import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import { describe, expect, it } from 'vitest';
import { deviationFigures, deviationFrom, stretchesAbove } from '../../src/geometry/deviation.ts';
import { indexPath } from '../../src/geometry/flat-path.ts';
import { layOn } from '../../src/geometry/lay-on.ts';
import { flattenPath, isInside, pathLengthMm } from '../../src/geometry/measure.ts';
import { chainMotions, mover, movePath, type RigidMotion, undoMotion } from '../../src/geometry/motion.ts';
import { mapPath, type Path, polylinePath } from '../../src/geometry/path.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { centroidSizeMm, fitRigid, procrustesDistance } from '../../src/geometry/register.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';
import { anyPoint, ellipse, GUARD, jstsRing, line, point, rectangle, SCALES } from './drawn.ts';

const STAY: RigidMotion = { mirrored: false, angleRad: 0, shift: point(0, 0) };
const anyMotion = fc.record({
  mirrored: fc.boolean(),
  angleRad: fc.double({ min: -3, max: 3, noNaN: true }),
  shift: anyPoint,
});

describe('motions', () => {
  it('chained do one after the other, and undone lead back', () => {
    fc.assert(
      fc.property(anyMotion, anyMotion, anyPoint, (first, second, at) => {
        const there = mover(chainMotions(first, second))(at);
        expect(distanceMm(there, mover(second)(mover(first)(at)))).toBeLessThan(1e-9);
        expect(distanceMm(mover(undoMotion(first))(mover(first)(at)), at)).toBeLessThan(1e-9);
      }),
    );
  });
});

describe('rigid registration in closed form', () => {
  const set = [point(-10, 0), point(11, 0), point(-5, 8), point(5, 9), point(0, -3)];

  it('finds any motion again (Kabsch 1976, Procrustes), mirrored or not', () => {
    fc.assert(
      fc.property(anyMotion, (motion) => {
        const { motion: found, rmsMm } = fitRigid(set, set.map(mover(motion)), { mirrored: motion.mirrored });
        expect(rmsMm).toBeLessThan(1e-10);
        for (const at of set) expect(distanceMm(mover(found)(at), mover(motion)(at))).toBeLessThan(1e-10);
      }),
    );
  });

  it('leaves the least squares that any turn near it leaves', () => {
    const to = [point(-9, 1), point(10, -1), point(-5, 9), point(6, 9), point(0, -2)];
    const best = fitRigid(set, to);
    const rms = (motion: RigidMotion) =>
      Math.sqrt(set.reduce((sum, p, i) => sum + distanceMm(mover(motion)(p), to[i]!) ** 2, 0) / set.length);
    expect(rms(best.motion)).toBeCloseTo(best.rmsMm, 12);
    for (const [da, dx, dy] of [
      [1e-3, 0, 0],
      [-1e-3, 0, 0],
      [0, 1e-2, 0],
      [0, -1e-2, 0],
      [0, 0, 1e-2],
    ] as const) {
      const near = {
        ...best.motion,
        angleRad: best.motion.angleRad + da,
        shift: point(best.motion.shift.x + dx, best.motion.shift.y + dy),
      };
      expect(rms(near)).toBeGreaterThan(best.rmsMm);
    }
  });

  it('ignores pairs without weight', () => {
    const spoiled = set.map((p, i) => (i === 1 ? point(99, 99) : p));
    expect(fitRigid(set, spoiled, { weights: [1, 0, 1, 1, 1] }).rmsMm).toBeLessThan(1e-12);
    expect(() => fitRigid(set, spoiled, { weights: [0, 0, 0, 0, 0] })).toThrow(RangeError);
    expect(() => fitRigid(set, [])).toThrow(RangeError);
  });

  it('lays the published points of the SciPy manual: mirrored, of one shape, and of twice the size', () => {
    // scipy.spatial.procrustes, worked example: its second set is the first turned over, doubled and moved; disparity 0.
    const a = [point(1, 3), point(1, 2), point(1, 1), point(2, 1)];
    const b = [point(4, -2), point(4, -4), point(4, -6), point(2, -6)];
    const turnedOver = b.map(({ x, y }) => point(-x, y));
    expect(procrustesDistance(a, turnedOver)).toBeCloseTo(0, 7);
    // A rigid motion cannot double: of two like shapes, sizes S and 2 S, it leaves a squared misfit of S squared (Kabsch 1976).
    const size = centroidSizeMm(a);
    expect(size ** 2).toBeCloseTo(3.5, 9);
    const best = fitRigid(a, b, { mirrored: true });
    expect(best.rmsMm ** 2 * a.length).toBeCloseTo(size ** 2, 9);
    expect(fitRigid(a, b).rmsMm).toBeGreaterThan(best.rmsMm);
  });

  it('and the Procrustes distance give the worked figures of a square against a rectangle', () => {
    // FACTS section 10: square 10 x 10 against 10 x 12.
    const square = [point(0, 0), point(10, 0), point(10, 10), point(0, 10)];
    const rectangle = [point(0, 0), point(10, 0), point(10, 12), point(0, 12)];
    expect(centroidSizeMm(square)).toBeCloseTo(14.1421, 4);
    expect(centroidSizeMm(rectangle)).toBeCloseTo(15.6205, 4);
    expect(procrustesDistance(square, rectangle) ** 2).toBeCloseTo(0.0081967, 7);
    expect(procrustesDistance(square, rectangle)).toBeCloseTo(0.090536, 6);
  });
});

describe('deviation of one line from another', () => {
  const figures = (moving: Path, fixed: Path) =>
    deviationFigures(deviationFrom(samplePath(moving, 0.5), STAY, indexPath(fixed)));

  it('is the Hausdorff distance that jsts finds, taken both ways', () => {
    const [a, b] = [ellipse(100, 60), ellipse(97, 64, point(2, 1))];
    const ours = Math.max(figures(a, b).maxMm, figures(b, a).maxMm);
    const oracle = DiscreteHausdorffDistance.distance(
      jstsRing(flattenPath(a, 1e-4)),
      jstsRing(flattenPath(b, 1e-4)),
    );
    expect(ours).toBeCloseTo(oracle, 1);
  });

  it('gives the worked figures of a square against itself shifted by 2', () => {
    // FACTS section 10 (corner sets): Hausdorff 2.
    expect(
      Math.max(
        figures(rectangle(10, 10), rectangle(10, 10, 2)).maxMm,
        figures(rectangle(10, 10, 2), rectangle(10, 10)).maxMm,
      ),
    ).toBeCloseTo(2, 12);
  });

  it('is positive outside and negative inside, and the arrow leads to the match', () => {
    const [outer, inner] = [ellipse(103, 103), ellipse(100, 100)];
    const outside = deviationFrom(samplePath(outer, 5), STAY, indexPath(inner));
    const inside = deviationFrom(samplePath(inner, 5), STAY, indexPath(outer));
    for (const { deviationMm, point: at, match } of outside) {
      expect(deviationMm).toBeCloseTo(3, 1);
      expect(distanceMm(at, match)).toBeCloseTo(3, 1);
    }
    for (const { deviationMm } of inside) expect(deviationMm).toBeCloseTo(-3, 1);
  });

  it('has the sign that a point-in-polygon test gives, corners and notches too', () => {
    const star = polylinePath(
      [
        point(0, -50),
        point(12, -14),
        point(50, -10),
        point(14, 10),
        point(20, 55),
        point(0, 16),
        point(-30, 40),
        point(-14, 8),
        point(-60, 0),
        point(-10, -16),
      ],
      true,
    );
    const points = flattenPath(star);
    fc.assert(
      fc.property(anyPoint, ({ x, y }) => {
        const [sample] = deviationFrom(
          [{ point: point(x, y), alongMm: 0, weightMm: 1 }],
          STAY,
          indexPath(star),
        );
        if (Math.abs(sample!.deviationMm) < 1e-9) return;
        expect(sample!.deviationMm < 0).toBe(isInside(point(x, y), points));
      }),
      { numRuns: 2000 },
    );
  });

  it('above a limit comes as stretches with peak and place, also over the start of the line', () => {
    // A square whose lower left corner was pulled out by 4 mm along x; the corner is the start of the line.
    const pulled = polylinePath([point(-4, 0), point(100, 0), point(100, 100), point(0, 100)], true);
    const samples = deviationFrom(samplePath(pulled, 0.5), STAY, indexPath(rectangle(100, 100)));
    const stretches = stretchesAbove(samples, 1, { closed: true, lengthMm: pathLengthMm(pulled) });
    expect(stretches).toHaveLength(1);
    expect(stretches[0]!.peakMm).toBe(4);
    expect(stretches[0]!.at).toEqual(point(-4, 0));
    // 75 mm of the left edge lie more than 1 mm out, and 3 mm of the lower edge.
    expect(stretches[0]!.toMm - stretches[0]!.fromMm).toBeGreaterThan(76);
    expect(stretches[0]!.toMm - stretches[0]!.fromMm).toBeLessThan(79);
    expect(stretchesAbove(samples, 4.01, { closed: true, lengthMm: pathLengthMm(pulled) })).toEqual([]);
  });
});

describe('laying an outline on another', () => {
  it.each([false, true])('finds the motion it was moved by, mirrored %s', (mirrored) => {
    for (const angleRad of [0.1, 1.7, -2.9]) {
      const motion = { mirrored, angleRad, shift: point(340, -120) };
      const moved = movePath(GUARD, undoMotion(motion));
      const laid = layOn(moved, GUARD, { mirrored });
      for (const { point: at } of samplePath(moved, 20)) {
        expect(distanceMm(mover(laid.motion)(at), mover(motion)(at))).toBeLessThan(0.02);
      }
      expect(laid.agreeingShare).toBeGreaterThan(0.999);
    }
  });

  it('lets the untouched edges coincide although a third of the outline was trimmed', () => {
    // Everything right of x = 140 cut off by a new straight edge.
    const trimmed: Path = {
      closed: true,
      start: point(0, 0),
      segments: [line(118, -6.3), line(112, 111), line(80, 110), line(20, 90), GUARD.segments[4]!],
    };
    const motion = { mirrored: false, angleRad: 0.6, shift: point(25, 40) };
    const laid = layOn(movePath(trimmed, undoMotion(motion)), GUARD);
    const apart = [point(0, 0), point(118, -6.3), point(20, 90)].map((p) =>
      distanceMm(mover(laid.motion)(mover(undoMotion(motion))(p)), p),
    );
    expect(Math.max(...apart)).toBeLessThan(0.05);
    expect(laid.agreeingShare).toBeLessThan(0.8);
  });

  it.each(SCALES)('works at scale %d', (scale) => {
    const grown = mapPath(GUARD, ({ x, y }) => point(x * scale, y * scale));
    const motion = { mirrored: false, angleRad: 0.9, shift: point(50 * scale, 70 * scale) };
    const laid = layOn(movePath(grown, undoMotion(motion)), grown, { agreeWithinMm: 0.5 * scale });
    for (const { point: at } of samplePath(grown, 20 * scale)) {
      const back = mover(laid.motion)(mover(undoMotion(motion))(at));
      expect(distanceMm(back, at) / scale).toBeLessThan(0.02);
    }
  });
});
