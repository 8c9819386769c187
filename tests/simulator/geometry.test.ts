import { describe, expect, it } from 'vitest';
import { imageToPlane, planeToImage, tiltRad } from '../../src/capture/camera.ts';
import { directionOf, project, tablePointOf } from './lens.ts';
import { cameraAt, type Lens, plainLens, type Pose } from './poses.ts';
import { reliefOf } from './relief.ts';
import { seeded } from './seeded.ts';
import { PolygonShape, roundedRectangle } from './shapes.ts';
import { SightMap } from './sight-map.ts';

const bentLens: Lens = { ...plainLens(12), k1: 0.05, k2: -0.02, offsetUPx: 9, offsetVPx: -7 };
const strangeLens: Lens = { ...bentLens, k3: 0.02, p1: 6e-4, p2: -5e-4 };
const pose: Pose = { tiltRad: 0.4, azimuthRad: 2, rollRad: -0.3, target: { x: 20, y: -10 }, distanceMm: 600 };

describe('the simulated camera', () => {
  it("is the engine's own where it has only the engine's terms", () => {
    const camera = cameraAt(bentLens, pose);
    const random = seeded(3);
    for (let i = 0; i < 200; i++) {
      const [x, y, z] = [random.between(-200, 200), random.between(-200, 200), random.between(0, 20)];
      const ours = project(camera, x, y, z);
      const theirs = planeToImage(camera, { x, y }, z);
      expect(ours.u).toBeCloseTo(theirs.u, 9);
      expect(ours.v).toBeCloseTo(theirs.v, 9);
      const [tx, ty] = tablePointOf(camera, ours.u, ours.v);
      const back = imageToPlane(camera, ours);
      expect(tx).toBeCloseTo(back.x, 6);
      expect(ty).toBeCloseTo(back.y, 6);
    }
    expect(tiltRad(camera)).toBeCloseTo(0.4, 12);
  });

  // OpenCV's documented model (calib3d): x'' = x' (1 + k1 r2 + k2 r4 + k3 r6) + 2 p1 x'y' + p2 (r2 + 2 x'2) and its
  // twin for y. Worked by hand at x' = 0.3, y' = -0.2: r2 = 0.13, radial 1.00620594.
  it('distorts as the OpenCV documentation writes it', () => {
    const down: Pose = {
      ...pose,
      tiltRad: 0,
      azimuthRad: 0,
      rollRad: 0,
      target: { x: 0, y: 0 },
      distanceMm: 1000,
    };
    const camera = cameraAt(strangeLens, down);
    const { u, v } = project(camera, 300, 200, 0);
    const centre = project(camera, 0, 0, 0);
    expect((u - centre.u) / camera.focalPx).toBeCloseTo(0.301634782, 9);
    expect((v - centre.v) / camera.focalPx).toBeCloseTo(-0.201055188, 9);
  });

  it('is undone by its inverse with every term on', () => {
    const camera = cameraAt(strangeLens, pose);
    for (const [u, v] of [
      [0, 0],
      [3999, 2999],
      [1200.3, 77.7],
    ] as const) {
      const [x, y] = tablePointOf(camera, u, v);
      const there = project(camera, x, y, 0);
      expect(there.u).toBeCloseTo(u, 7);
      expect(there.v).toBeCloseTo(v, 7);
      expect(directionOf(camera, u, v).every(Number.isFinite)).toBe(true);
    }
  });

  it('is interpolated over a tile of 32 px to a hundred-thousandth of a millimetre', () => {
    const camera = cameraAt(strangeLens, { ...pose, tiltRad: 0.6 });
    const sight = new SightMap(camera);
    for (const [u0, v0] of [
      [0, 0],
      [3968, 2968],
      [1984, 0],
    ] as const) {
      sight.select(u0, v0, u0 + 31, v0 + 31);
      for (const [du, dv] of [
        [0, 0],
        [5, 17],
        [31, 31],
      ] as const) {
        sight.setRow(v0 + dv);
        sight.at(u0 + du);
        const [x, y] = tablePointOf(camera, u0 + du, v0 + dv);
        expect(Math.hypot(sight.x - x, sight.y - y)).toBeLessThan(1e-5);
      }
    }
  });
});

describe('shapes', () => {
  it('measure the distance to a rounded rectangle as its formula does, right of sign far and near', () => {
    const [width, height, radius] = [85.6, 53.98, 3.18];
    const shape = new PolygonShape([roundedRectangle(width, height, radius, 200)], 3);
    const random = seeded(11);
    for (let i = 0; i < 2000; i++) {
      const [x, y] = [random.between(-60, 60), random.between(-45, 45)];
      const qx = Math.abs(x) - width / 2 + radius;
      const qy = Math.abs(y) - height / 2 + radius;
      const exact = Math.min(Math.max(qx, qy), 0) + Math.hypot(Math.max(qx, 0), Math.max(qy, 0)) - radius;
      const measured = shape.signed(x, y);
      if (Math.abs(exact) < 1e-4) continue;
      expect(Math.sign(measured)).toBe(Math.sign(exact));
      if (Math.abs(exact) < 3) expect(measured).toBeCloseTo(exact, 3);
      if (Math.abs(exact) < 3) expect(Math.abs(shape.coarse(x, y) - exact)).toBeLessThan(1);
      else expect(Math.sign(shape.coarse(x, y))).toBe(Math.sign(exact));
    }
  });

  it('count a hole as outside', () => {
    const ring = (r: number) =>
      Array.from({ length: 90 }, (_, i) => ({
        x: r * Math.cos((i * Math.PI) / 45),
        y: r * Math.sin((i * Math.PI) / 45),
      }));
    const shape = new PolygonShape([ring(40), ring(15).reverse()], 2);
    expect(shape.signed(0, 0)).toBeGreaterThan(0);
    expect(shape.signed(14, 0)).toBeCloseTo(1, 1);
    expect(shape.signed(30, 0)).toBeLessThan(0);
    expect(shape.signed(0, 41)).toBeCloseTo(1, 1);
  });
});

describe('a curled sheet', () => {
  it('keeps lengths along its surface: the arc of a parabola summed in small steps', () => {
    const relief = reliefOf({ directionRad: 0, riseMm: 8, halfSpanMm: 40, slope: 0.1 });
    let sum = 0;
    for (let i = 0; i < 40_000; i++) {
      const t = i / 1000;
      sum += Math.hypot(0.001, relief.rise(t + 0.001) - relief.rise(t));
    }
    expect(relief.arc(40)).toBeCloseTo(sum, 6);
    expect(relief.arc(0)).toBe(0);
  });

  it('touches the table at its lowest place, whichever way it bends', () => {
    for (const riseMm of [5, -5, 0]) {
      for (const slope of [0, 0.15, -0.4]) {
        const relief = reliefOf({ directionRad: 0, riseMm, halfSpanMm: 40, slope });
        const heights = Array.from({ length: 8001 }, (_, i) => relief.rise((i - 4000) / 100));
        expect(Math.min(...heights)).toBeCloseTo(0, 4);
        expect(Math.max(...heights)).toBeLessThanOrEqual(relief.maxRiseMm + 1e-9);
      }
    }
  });
});
