/** Lines at an equal distance, against clipper-lib (sharp corners) and the buffer of jsts (round ones). */
// @ts-expect-error: clipper-lib brings no types.
import ClipperLib from 'clipper-lib';
import DiscreteHausdorffDistance from 'jsts/org/locationtech/jts/algorithm/distance/DiscreteHausdorffDistance.js';
import BufferOp from 'jsts/org/locationtech/jts/operation/buffer/BufferOp.js';
import { describe, expect, it } from 'vitest';
import { offsetLine } from '../../../src/geometry/edit/offset-line.ts';
import { flattenPath, pathAreaMm2, pathLengthMm } from '../../../src/geometry/measure.ts';
import { nearestOnPath } from '../../../src/geometry/nearest.ts';
import { type Path, polylinePath, reversePath } from '../../../src/geometry/path.ts';
import { samplePath } from '../../../src/geometry/sample-path.ts';
import { cubic, ellipse, GUARD, jstsRing, line, point, rectangle } from '../drawn.ts';

const FINE_MM = 0.0005;

function made(path: Path, distance: number, corner: 'sharp' | 'round' = 'sharp'): Path {
  const outcome = offsetLine(path, distance, corner);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  expect(outcome.value).toHaveLength(1);
  return outcome.value[0]!;
}

/** Area by clipper-lib, in whole numbers of 0.1 micrometre. */
function clipperArea(path: Path, distance: number): number {
  const grid = 1e4;
  const offset = new ClipperLib.ClipperOffset(4, 5);
  offset.AddPath(
    flattenPath(path, FINE_MM).map(({ x, y }) => ({ X: Math.round(x * grid), Y: Math.round(y * grid) })),
    ClipperLib.JoinType.jtMiter,
    ClipperLib.EndType.etClosedPolygon,
  );
  const solution: { X: number; Y: number }[][] = [];
  offset.Execute(solution, distance * grid);
  return solution.reduce((sum, ring) => sum + ClipperLib.Clipper.Area(ring), 0) / grid ** 2;
}

describe('a closed line at an equal distance', () => {
  it('has the area of clipper-lib with sharp corners, outwards and inwards', () => {
    for (const path of [GUARD, rectangle(80, 50), ellipse(60, 35)]) {
      for (const distance of [10, 3, -3, -9]) {
        const area = pathAreaMm2(made(path, distance));
        expect(Math.abs(area - clipperArea(path, distance))).toBeLessThan(0.005 * pathLengthMm(path));
      }
    }
  });

  it('lies on the buffer of jsts with round corners, within 0.02 mm everywhere', () => {
    for (const path of [GUARD, rectangle(80, 50)]) {
      const round = made(path, 6, 'round');
      const buffer = BufferOp.bufferOp(jstsRing(flattenPath(path, FINE_MM)), 6, 128);
      const distance = DiscreteHausdorffDistance.distance(buffer, jstsRing(flattenPath(round, FINE_MM)));
      expect(distance).toBeLessThan(0.02);
    }
  });

  it('of a circle is a circle: area pi r2 and few cubics', () => {
    const circle = made(ellipse(50, 50, point(0, 0), 4), 5);
    expect(pathAreaMm2(circle)).toBeCloseTo(Math.PI * 55 ** 2, 0);
    expect(circle.segments.length).toBeLessThanOrEqual(12);
    for (const { point: at } of samplePath(circle, 2))
      expect(Math.abs(Math.hypot(at.x, at.y) - 55)).toBeLessThan(0.02);
  });

  it('keeps corners and straight segments as they were', () => {
    const wide = made(rectangle(80, 50), 4);
    expect(wide.segments.map(({ kind, joint }) => [kind, joint])).toEqual(
      [0, 1, 2, 3].map(() => ['line', 'corner']),
    );
    expect(pathAreaMm2(wide)).toBeCloseTo(88 * 58, 6);
    const guard = made(GUARD, 4);
    expect(guard.segments.filter(({ kind }) => kind === 'line')).toHaveLength(2);
    expect(guard.segments.filter(({ joint }) => joint === 'corner')).toHaveLength(4);
  });

  it('runs the same way round, also for an opening', () => {
    const opening = made(reversePath(GUARD), 4);
    expect(pathAreaMm2(opening)).toBeLessThan(0);
    expect(Math.abs(pathAreaMm2(opening))).toBeGreaterThan(pathAreaMm2(GUARD));
  });

  it('says when nothing is left inside', () => {
    expect(offsetLine(rectangle(80, 10), -6, 'sharp')).toMatchObject({
      ok: false,
      problem: { code: 'nothing-left' },
    });
  });

  it('falls into as many lines as the shape does', () => {
    const bone = polylinePath(
      [0, 20, 20, 50, 50, 70, 70, 50, 50, 20, 20, 0].map((x, i) =>
        point(x, [0, 0, 8, 8, 0, 0, 20, 20, 12, 12, 20, 20][i]!),
      ),
      true,
    );
    const outcome = offsetLine(bone, -3, 'sharp');
    expect(outcome.ok && outcome.value.map((path) => pathAreaMm2(path))).toHaveLength(2);
  });
});

describe('an open line at an equal distance', () => {
  const WAVE: Path = {
    closed: false,
    start: point(0, 0),
    segments: [line(30, 0), cubic(point(60, 0), point(70, 40), point(110, 40), 'smooth'), line(140, 60)],
  };

  it('lies to the left at the distance everywhere, and to the right when negative', () => {
    for (const distance of [5, -5]) {
      const beside = made(WAVE, distance);
      expect(beside.start.x).toBeCloseTo(0, 4);
      expect(beside.start.y).toBeCloseTo(distance, 4);
      const samples = samplePath(beside, 1);
      for (const { point: at } of samples) {
        const { distanceMm } = nearestOnPath(WAVE, at);
        // Outside a corner the sharp tip stands farther off.
        expect(distanceMm).toBeGreaterThan(Math.abs(distance) - 0.02);
      }
      const near = samples.filter(
        ({ point: at }) => nearestOnPath(WAVE, at).distanceMm < Math.abs(distance) + 0.02,
      );
      expect(near.length).toBeGreaterThan(0.95 * samples.length);
    }
  });

  it('says when it would fold over itself', () => {
    const hook: Path = {
      closed: false,
      start: point(0, 0),
      segments: [line(30, 0), line(30, 4), line(0, 4)],
    };
    expect(offsetLine(hook, 6, 'sharp')).toMatchObject({ ok: false, problem: { code: 'folds-over' } });
  });
});
