/** The camera's unknowns as small steps, shared by the solve and by the tolerances drawn from it. */
import type { Camera } from './camera.ts';

/**
 * Unknowns of the camera in the order of steps and covariances: a small turn of the camera about its own axes
 * (rad), its centre in the world (mm), ln(focal length), k1, k2 and the principal point's offset (px).
 */
export const CAMERA_PARAMETERS = [
  'turnX',
  'turnY',
  'turnZ',
  'centreX',
  'centreY',
  'centreZ',
  'lnFocal',
  'k1',
  'k2',
  'offsetU',
  'offsetV',
] as const;

/** Unknowns of the print: ln of the true size of a printed millimetre across and along the page. */
export const PRINT_PARAMETERS = ['lnAcross', 'lnAlong'] as const;

export const CAMERA_COUNT = CAMERA_PARAMETERS.length;
export const SHARED_COUNT = CAMERA_COUNT + PRINT_PARAMETERS.length;

/** Where the absolute values with priors stand. */
export const LN_FOCAL = 6;
export const K1 = 7;
export const K2 = 8;
export const OFFSET_U = 9;
export const OFFSET_V = 10;
export const LN_ACROSS = 11;
export const LN_ALONG = 12;

/** Rotation matrix of a rotation vector, row by row (Rodrigues' formula). */
export function rotationOf(wx: number, wy: number, wz: number): number[] {
  const angle = Math.hypot(wx, wy, wz);
  // sin(a)/a and (1 - cos(a))/a^2, by their series where the quotients lose their digits.
  const s = angle < 1e-4 ? 1 - angle ** 2 / 6 : Math.sin(angle) / angle;
  const c = angle < 1e-4 ? 0.5 - angle ** 2 / 24 : (1 - Math.cos(angle)) / angle ** 2;
  return [
    1 - c * (wy * wy + wz * wz),
    c * wx * wy - s * wz,
    c * wx * wz + s * wy,
    c * wx * wy + s * wz,
    1 - c * (wx * wx + wz * wz),
    c * wy * wz - s * wx,
    c * wx * wz - s * wy,
    c * wy * wz + s * wx,
    1 - c * (wx * wx + wy * wy),
  ];
}

/** Product of two 3 x 3 matrices, row by row. */
export function matrixProduct(a: readonly number[], b: readonly number[]): number[] {
  return Array.from({ length: 9 }, (_, at) => {
    const row = 3 * Math.floor(at / 3);
    const column = at % 3;
    return a[row]! * b[column]! + a[row + 1]! * b[column + 3]! + a[row + 2]! * b[column + 6]!;
  });
}

/** The camera after a step in `CAMERA_PARAMETERS`. */
export function steppedCamera(camera: Camera, step: ArrayLike<number>): Camera {
  const [x, y, z] = camera.centreMm;
  return {
    ...camera,
    rotation: matrixProduct(rotationOf(step[0]!, step[1]!, step[2]!), camera.rotation),
    centreMm: [x + step[3]!, y + step[4]!, z + step[5]!],
    focalPx: camera.focalPx * Math.exp(step[LN_FOCAL]!),
    k1: camera.k1 + step[K1]!,
    k2: camera.k2 + step[K2]!,
    offsetUPx: camera.offsetUPx + step[OFFSET_U]!,
    offsetVPx: camera.offsetVPx + step[OFFSET_V]!,
  };
}

/**
 * The same camera in a world frame that is turned by `turnRad` about z and has its origin at (x, y) of the old
 * one: what lay at (x, y) lies at the new origin.
 */
export function cameraInFrame(camera: Camera, x: number, y: number, turnRad: number): Camera {
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  const [cx, cy, cz] = camera.centreMm;
  return {
    ...camera,
    rotation: matrixProduct(camera.rotation, [c, -s, 0, s, c, 0, 0, 0, 1]),
    centreMm: [c * (cx - x) + s * (cy - y), c * (cy - y) - s * (cx - x), cz],
  };
}
