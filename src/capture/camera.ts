import type { ImagePoint, PlanePoint } from '../geometry/point.ts';

/**
 * A pinhole camera with radial distortion over the table plane z = 0 (z up, towards the camera).
 * A world point X maps to R (X - C), looking along +z, image y down; normalised x = X/Z is distorted to
 * x (1 + k1 r^2 + k2 r^4) and scaled by the focal length about the principal point.
 */
export interface Camera {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly focalPx: number;
  /** Offset of the principal point from the picture's centre ((width-1)/2, (height-1)/2), px. */
  readonly offsetUPx: number;
  readonly offsetVPx: number;
  readonly k1: number;
  readonly k2: number;
  /** Rotation world to camera, row by row (9 numbers). */
  readonly rotation: readonly number[];
  /** Camera centre in the world, mm. */
  readonly centreMm: readonly [number, number, number];
}

export function principalPoint(camera: Camera): ImagePoint {
  return {
    u: (camera.widthPx - 1) / 2 + camera.offsetUPx,
    v: (camera.heightPx - 1) / 2 + camera.offsetVPx,
  };
}

/** Image place of a point at height `zMm` above the table; NaN when it lies behind the camera. */
export function planeToImage(camera: Camera, point: PlanePoint, zMm = 0): ImagePoint {
  const r = camera.rotation;
  const [cx, cy, cz] = camera.centreMm;
  const dx = point.x - cx;
  const dy = point.y - cy;
  const dz = zMm - cz;
  const depth = r[6]! * dx + r[7]! * dy + r[8]! * dz;
  if (depth <= 0) return { u: Number.NaN, v: Number.NaN };
  const x = (r[0]! * dx + r[1]! * dy + r[2]! * dz) / depth;
  const y = (r[3]! * dx + r[4]! * dy + r[5]! * dz) / depth;
  const r2 = x * x + y * y;
  const gain = camera.focalPx * (1 + r2 * (camera.k1 + r2 * camera.k2));
  const centre = principalPoint(camera);
  return { u: centre.u + gain * x, v: centre.v + gain * y };
}

/** Undistorted normalised direction (x/z, y/z) of an image point: Newton on the radius. */
function undistort(camera: Camera, point: ImagePoint): readonly [number, number] {
  const centre = principalPoint(camera);
  const xd = (point.u - centre.u) / camera.focalPx;
  const yd = (point.v - centre.v) / camera.focalPx;
  const rd = Math.hypot(xd, yd);
  if (rd === 0) return [0, 0];
  let r = rd;
  for (let i = 0; i < 12; i++) {
    const r2 = r * r;
    const value = r * (1 + r2 * (camera.k1 + r2 * camera.k2)) - rd;
    const slope = 1 + r2 * (3 * camera.k1 + 5 * r2 * camera.k2);
    const step = value / slope;
    r -= step;
    if (Math.abs(step) < 1e-13) break;
  }
  return [(xd * r) / rd, (yd * r) / rd];
}

/** Where the line of sight of an image point meets the plane z = `zMm`; NaN when it never does. */
export function imageToPlane(camera: Camera, point: ImagePoint, zMm = 0): PlanePoint {
  const [x, y] = undistort(camera, point);
  const r = camera.rotation;
  const dx = r[0]! * x + r[3]! * y + r[6]!;
  const dy = r[1]! * x + r[4]! * y + r[7]!;
  const dz = r[2]! * x + r[5]! * y + r[8]!;
  const [cx, cy, cz] = camera.centreMm;
  const reach = (zMm - cz) / dz;
  if (!(reach > 0)) return { x: Number.NaN, y: Number.NaN };
  return { x: cx + reach * dx, y: cy + reach * dy };
}

/** Point of the table straight under the camera, mm: where no side wall of a thick piece shows. */
export function footPoint(camera: Camera): PlanePoint {
  return { x: camera.centreMm[0], y: camera.centreMm[1] };
}

/** Angle between the camera's axis and the table's normal, rad. */
export function tiltRad(camera: Camera): number {
  return Math.acos(Math.min(1, Math.max(-1, -camera.rotation[8]!)));
}
