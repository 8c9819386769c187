import { type Camera, principalPoint } from '../../src/capture/camera.ts';
import type { ImagePoint } from '../../src/geometry/point.ts';

/**
 * The simulator's camera: the engine's, plus terms that the engine does not model (the third radial term and
 * decentring, as in Brown 1966 and OpenCV's calib3d documentation).
 */
export interface SimCamera extends Camera {
  readonly k3: number;
  readonly p1: number;
  readonly p2: number;
}

/** Distorts a normalised direction. */
function distort(camera: SimCamera, x: number, y: number): readonly [number, number] {
  const r2 = x * x + y * y;
  const radial = 1 + r2 * (camera.k1 + r2 * (camera.k2 + r2 * camera.k3));
  return [
    x * radial + 2 * camera.p1 * x * y + camera.p2 * (r2 + 2 * x * x),
    y * radial + camera.p1 * (r2 + 2 * y * y) + 2 * camera.p2 * x * y,
  ];
}

/** Image place of a world point, mm to px; NaN behind the camera. */
export function project(camera: SimCamera, x: number, y: number, z: number): ImagePoint {
  const r = camera.rotation;
  const dx = x - camera.centreMm[0];
  const dy = y - camera.centreMm[1];
  const dz = z - camera.centreMm[2];
  const depth = r[6]! * dx + r[7]! * dy + r[8]! * dz;
  if (depth <= 0) return { u: Number.NaN, v: Number.NaN };
  const [xd, yd] = distort(
    camera,
    (r[0]! * dx + r[1]! * dy + r[2]! * dz) / depth,
    (r[3]! * dx + r[4]! * dy + r[5]! * dz) / depth,
  );
  const centre = principalPoint(camera);
  return { u: centre.u + camera.focalPx * xd, v: centre.v + camera.focalPx * yd };
}

/** Undistorted direction of an image point: Newton in two dimensions, with a numerical slope. */
export function directionOf(camera: SimCamera, u: number, v: number): readonly [number, number] {
  const centre = principalPoint(camera);
  const xd = (u - centre.u) / camera.focalPx;
  const yd = (v - centre.v) / camera.focalPx;
  let [x, y] = [xd, yd];
  const step = 1e-6;
  for (let i = 0; i < 20; i++) {
    const [fx, fy] = distort(camera, x, y);
    const [ex, ey] = [fx - xd, fy - yd];
    if (Math.abs(ex) + Math.abs(ey) < 1e-13) break;
    const [ax, ay] = distort(camera, x + step, y);
    const [bx, by] = distort(camera, x, y + step);
    const [a, b, c, d] = [(ax - fx) / step, (bx - fx) / step, (ay - fy) / step, (by - fy) / step];
    const det = a * d - b * c;
    x -= (d * ex - b * ey) / det;
    y -= (a * ey - c * ex) / det;
  }
  return [x, y];
}

/** Where the line of sight of an image point meets the table z = 0; throws when it never does. */
export function tablePointOf(camera: SimCamera, u: number, v: number): readonly [number, number] {
  const [x, y] = directionOf(camera, u, v);
  const r = camera.rotation;
  const dz = r[2]! * x + r[5]! * y + r[8]!;
  if (dz >= -1e-6) throw new Error('The simulated camera sees past the table: lower the tilt.');
  const reach = -camera.centreMm[2] / dz;
  return [
    camera.centreMm[0] + reach * (r[0]! * x + r[3]! * y + r[6]!),
    camera.centreMm[1] + reach * (r[1]! * x + r[4]! * y + r[7]!),
  ];
}
