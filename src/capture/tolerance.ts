/** How sure a length measured from a photo is. */
import type { PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { CAMERA_COUNT, SHARED_COUNT, steppedCamera } from './camera-parameters.ts';
import { symmetricInverse } from './linear-algebra.ts';
import type { Capture } from './types.ts';

/**
 * Paper and card never lie quite flat: each end of a length may stand this much higher or lower than the measuring
 * plane (one sigma, mm). Paper only ever lifts off a table, by 0.25-0.3 mm (half-normal; judgement, no source). What
 * cards and piece have of it in common cancels like the height of the table; left is its scatter, sqrt(1 - 2/pi) or
 * 0.6 of that: 0.15-0.18 mm, and 0.15 is what `paper-lift.ts` believes of the cards.
 */
export const LIFT_MM = 0.15;
/** Steps for the derivatives: small against the unknowns' effect, large against rounding. */
export const CAMERA_STEPS: readonly number[] = [
  1e-6, 1e-6, 1e-6, 1e-3, 1e-3, 1e-3, 1e-6, 1e-6, 1e-6, 1e-3, 1e-3,
];

/**
 * `true-mm`: against a true ruler. `same-printer`: against anything printed by the printer that made the cards,
 * with the same settings: the doubt of its scale cancels, since cards and template shrink alike.
 */
export type ToleranceOf = 'true-mm' | 'same-printer';

/** Covariance (its last unknowns the print's) of all others once the print's scale is taken as known: Schur complement. */
export function givenPrint(covariance: readonly number[]): readonly number[] {
  const n = Math.sqrt(covariance.length);
  const m = SHARED_COUNT - CAMERA_COUNT;
  const first = n - m;
  const at = (i: number, j: number): number => covariance[i * n + j]!;
  const print = new Float64Array(m * m).map((_, k) => at(first + Math.floor(k / m), first + (k % m)));
  const inverse = symmetricInverse(print, m);
  if (!inverse) return covariance;
  const result = [...covariance];
  for (let i = 0; i < first; i++) {
    for (let j = 0; j < first; j++) {
      let less = 0;
      for (let a = 0; a < m; a++) {
        for (let b = 0; b < m; b++) less += at(i, first + a) * inverse[a * m + b]! * at(first + b, j);
      }
      result[i * n + j]! -= less;
    }
  }
  return result;
}

/** Derivatives of a length by the camera's unknowns, its two ends held in the picture. */
export function lengthSlopes(camera: Camera, a: PlanePoint, b: PlanePoint, zMm: number): Float64Array {
  const [seenA, seenB] = [planeToImage(camera, a, zMm), planeToImage(camera, b, zMm)];
  const lengthWith = (step: Float64Array): number => {
    const moved = steppedCamera(camera, step);
    return distanceMm(imageToPlane(moved, seenA, zMm), imageToPlane(moved, seenB, zMm));
  };
  return Float64Array.from(CAMERA_STEPS, (size, i) => {
    const step = new Float64Array(CAMERA_COUNT);
    step[i] = size;
    const more = lengthWith(step);
    step[i] = -size;
    return (more - lengthWith(step)) / (2 * size);
  });
}

/**
 * One-sigma tolerance, mm, of the length from `a` to `b` (mm on the table frame) seen on the plane z = `zMm`,
 * the pieces' top face unless told otherwise. Three parts: the camera and print as solved; the thickness, which
 * moves both ends alike; and paper that does not lie flat, which moves each end by itself. The doubt of where an
 * edge lies in the picture is the tracer's and not in it. NaN for a point that the camera cannot see.
 */
export function toleranceOfLengthMm(
  capture: Capture,
  a: PlanePoint,
  b: PlanePoint,
  zMm = capture.thicknessMm,
  of: ToleranceOf = 'true-mm',
): number {
  const { camera } = capture;
  const covariance = of === 'true-mm' ? capture.covariance : givenPrint(capture.covariance);
  const slopes = lengthSlopes(camera, a, b, zMm);
  let variance = 0;
  for (let i = 0; i < CAMERA_COUNT; i++) {
    for (let j = 0; j < CAMERA_COUNT; j++)
      variance += slopes[i]! * covariance[i * SHARED_COUNT + j]! * slopes[j]!;
  }
  const [seenA, seenB] = [planeToImage(camera, a, zMm), planeToImage(camera, b, zMm)];
  const step = 0.01;
  const [highA, highB] = [imageToPlane(camera, seenA, zMm + step), imageToPlane(camera, seenB, zMm + step)];
  const length = distanceMm(a, b);
  const byHeightA = (distanceMm(highA, b) - length) / step;
  const byHeightB = (distanceMm(a, highB) - length) / step;
  const byThickness = byHeightA + byHeightB;
  return Math.sqrt(
    Math.max(0, variance) +
      (byThickness * capture.thicknessDoubtMm) ** 2 +
      LIFT_MM ** 2 * (byHeightA ** 2 + byHeightB ** 2),
  );
}

/** Directions in which a piece's extreme points are sought. */
const DIRECTIONS = 12;

/**
 * The largest one-sigma tolerance, mm, of a length across the given points (an outline): among the pairs that
 * are farthest apart in twelve directions. 0 for fewer than two points.
 */
export function worstToleranceMm(
  capture: Capture,
  points: readonly PlanePoint[],
  zMm = capture.thicknessMm,
  of: ToleranceOf = 'true-mm',
): number {
  let worst = 0;
  if (points.length < 2) return worst;
  for (let k = 0; k < DIRECTIONS; k++) {
    const [c, s] = [Math.cos((k * Math.PI) / DIRECTIONS), Math.sin((k * Math.PI) / DIRECTIONS)];
    let [first, last] = [points[0]!, points[0]!];
    for (const point of points) {
      const along = c * point.x + s * point.y;
      if (along < c * first.x + s * first.y) first = point;
      if (along > c * last.x + s * last.y) last = point;
    }
    if (distanceMm(first, last) > 0)
      worst = Math.max(worst, toleranceOfLengthMm(capture, first, last, zMm, of));
  }
  return worst;
}
