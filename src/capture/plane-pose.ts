/**
 * The two camera poses that a small flat target allows. A weak perspective cannot tell a tilt towards the camera
 * from one away from it, so both are kept and the whole picture decides.
 */
import type { PlanePoint } from '../geometry/point.ts';
import { choleskyFactor, choleskySolve } from './linear-algebra.ts';
import { matrixProduct } from './camera-parameters.ts';
import { fitHomography, homographySlope } from './homography.ts';

/** A point of the plane with its undistorted normalised image place (x/z, y/z). */
export interface PlaneSighting {
  readonly at: PlanePoint;
  readonly direction: readonly [number, number];
}

export interface PlanePose {
  /** Rotation plane to camera, row by row. */
  readonly rotation: readonly number[];
  /** Camera centre in the plane's frame, mm. */
  readonly centreMm: readonly [number, number, number];
}

/** Rotation that takes the optical axis to the direction (p, q, 1). */
function rotationToDirection(p: number, q: number): number[] {
  const r2 = p * p + q * q;
  if (r2 < 1e-24) return [1, 0, 0, 0, 1, 0, 0, 0, 1];
  const length = Math.sqrt(1 + r2);
  const c = (1 / length - 1) / r2;
  return [
    1 + c * p * p,
    c * p * q,
    p / length,
    c * p * q,
    1 + c * q * q,
    q / length,
    -p / length,
    -q / length,
    1 / length,
  ];
}

/** Translation that best fits the sightings under a rotation: linear least squares on x t_z - t_x = ... */
function translationFor(
  rotation: readonly number[],
  sightings: readonly PlaneSighting[],
): readonly [number, number, number] | undefined {
  const normal = new Float64Array(9);
  const right = new Float64Array(3);
  const addRow = (row: readonly [number, number, number], target: number): void => {
    for (let i = 0; i < 3; i++) {
      right[i]! += row[i]! * target;
      for (let j = 0; j < 3; j++) normal[i * 3 + j]! += row[i]! * row[j]!;
    }
  };
  for (const { at, direction } of sightings) {
    const [px, py, pz] = [0, 3, 6].map((row) => rotation[row]! * at.x + rotation[row + 1]! * at.y) as [
      number,
      number,
      number,
    ];
    const [x, y] = direction;
    addRow([1, 0, -x], x * pz - px);
    addRow([0, 1, -y], y * pz - py);
  }
  const factor = choleskyFactor(normal, 3);
  if (!factor) return undefined;
  const [tx, ty, tz] = choleskySolve(factor, 3, right);
  return [tx!, ty!, tz!];
}

/**
 * Both poses of a camera over a flat target whose points surround the plane's origin, most often mirror images in
 * the line of sight (Collins & Bartoli, "Infinitesimal plane-based pose estimation", International Journal of
 * Computer Vision 109, 2014). Poses with the target behind the camera are left out.
 */
export function planePoses(sightings: readonly PlaneSighting[]): readonly PlanePose[] {
  const homography = fitHomography(
    sightings.map(({ at, direction }) => ({ at, seen: { u: direction[0], v: direction[1] } })),
  );
  if (!homography) return [];
  const [p, q] = [homography[2]!, homography[5]!];
  const [j0, j1, j2, j3] = homographySlope(homography, { x: 0, y: 0 });
  const toSight = rotationToDirection(p, q);
  // B = [I | -(p, q)] * first two columns of the rotation; A = B^-1 J.
  const b0 = toSight[0]! - p * toSight[6]!;
  const b1 = toSight[1]! - p * toSight[7]!;
  const b2 = toSight[3]! - q * toSight[6]!;
  const b3 = toSight[4]! - q * toSight[7]!;
  const det = b0 * b3 - b1 * b2;
  const a = [
    (b3 * j0 - b1 * j2) / det,
    (b3 * j1 - b1 * j3) / det,
    (b0 * j2 - b2 * j0) / det,
    (b0 * j3 - b2 * j1) / det,
  ];
  const aa = a[0]! ** 2 + a[1]! ** 2;
  const bb = a[2]! ** 2 + a[3]! ** 2;
  const ab = a[0]! * a[2]! + a[1]! * a[3]!;
  const gain = Math.sqrt((aa + bb + Math.hypot(aa - bb, 2 * ab)) / 2);
  const r = a.map((value) => value / gain);
  const h0 = Math.max(0, 1 - r[0]! ** 2 - r[2]! ** 2);
  const h1 = Math.max(0, 1 - r[1]! ** 2 - r[3]! ** 2);
  const h01 = -(r[0]! * r[1]! + r[2]! * r[3]!);
  const c0 = Math.sqrt(h0);
  const c1 = h01 < 0 ? -Math.sqrt(h1) : Math.sqrt(h1);
  const poses: PlanePose[] = [];
  for (const sign of [1, -1]) {
    const [x0, x1, x2] = [r[0]!, r[2]!, sign * c0];
    const [y0, y1, y2] = [r[1]!, r[3]!, sign * c1];
    const z = [x1 * y2 - x2 * y1, x2 * y0 - x0 * y2, x0 * y1 - x1 * y0];
    const rotation = matrixProduct(toSight, [x0, y0, z[0]!, x1, y1, z[1]!, x2, y2, z[2]!]);
    const t = translationFor(rotation, sightings);
    if (!t || t[2] <= 0) continue;
    const centre = [0, 1, 2].map(
      (k) => -(rotation[k]! * t[0] + rotation[k + 3]! * t[1] + rotation[k + 6]! * t[2]),
    );
    poses.push({ rotation, centreMm: [centre[0]!, centre[1]!, centre[2]!] });
  }
  return poses;
}
