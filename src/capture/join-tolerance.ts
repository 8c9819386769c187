/** How sure a length is whose ends were seen in different photos of one table. */
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { imageToPlane, planeToImage } from './camera.ts';
import { CAMERA_COUNT, steppedCamera } from './camera-parameters.ts';
import type { JoinedPhotos } from './join-types.ts';
import { CAMERA_STEPS, givenPrint, LIFT_MM, type ToleranceOf } from './tolerance.ts';

/** A point of the table, mm in the common frame, and the photo that it was seen in. */
export interface PhotoPoint {
  readonly at: PlanePoint;
  readonly photo: number;
}

/** Derivatives by the camera's unknowns of how far the point lies along a direction, held in the picture. */
function slopesAlong(
  { captures }: JoinedPhotos,
  { at, photo }: PhotoPoint,
  direction: PlanePoint,
  zMm: number,
): number[] {
  const { camera } = captures[photo]!;
  const seen = planeToImage(camera, at, zMm);
  const along = (step: Float64Array): number => {
    const { x, y } = imageToPlane(steppedCamera(camera, step), seen, zMm);
    return direction.x * x + direction.y * y;
  };
  return CAMERA_STEPS.map((size, i) => {
    const step = new Float64Array(CAMERA_COUNT);
    step[i] = size;
    const more = along(step);
    step[i] = -size;
    return (more - along(step)) / (2 * size);
  });
}

/** How far the point moves along a direction per mm of height. */
function byHeight(
  { captures }: JoinedPhotos,
  { at, photo }: PhotoPoint,
  direction: PlanePoint,
  zMm: number,
): number {
  const { camera } = captures[photo]!;
  const step = 0.01;
  const high = imageToPlane(camera, planeToImage(camera, at, zMm), zMm + step);
  return (direction.x * (high.x - at.x) + direction.y * (high.y - at.y)) / step;
}

/** One sigma of how far apart two points lie along a direction, mm. */
function toleranceAlong(
  joined: JoinedPhotos,
  a: PhotoPoint,
  b: PhotoPoint,
  direction: PlanePoint,
  zMm: number,
  of: ToleranceOf = 'true-mm',
): number {
  const { captures } = joined;
  const covariance = of === 'true-mm' ? joined.covariance : givenPrint(joined.covariance);
  const n = Math.sqrt(covariance.length);
  const slopes = new Float64Array(n);
  slopesAlong(joined, a, direction, zMm).forEach(
    (slope, i) => (slopes[CAMERA_COUNT * a.photo + i]! -= slope),
  );
  slopesAlong(joined, b, direction, zMm).forEach(
    (slope, i) => (slopes[CAMERA_COUNT * b.photo + i]! += slope),
  );
  let variance = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) variance += slopes[i]! * covariance[i * n + j]! * slopes[j]!;
  }
  const [heightA, heightB] = [byHeight(joined, a, direction, zMm), byHeight(joined, b, direction, zMm)];
  return Math.sqrt(
    Math.max(0, variance) +
      ((heightB - heightA) * captures[0]!.thicknessDoubtMm) ** 2 +
      LIFT_MM ** 2 * (heightA ** 2 + heightB ** 2),
  );
}

/**
 * One-sigma tolerance, mm, of the length between two points of the common frame, each seen in a photo of its own or both
 * in one, on the plane z = `zMm`; the same three parts as `toleranceOfLengthMm` for one photo, with which it agrees there.
 */
export function toleranceAcrossMm(
  joined: JoinedPhotos,
  a: PhotoPoint,
  b: PhotoPoint,
  zMm = joined.captures[0]!.thicknessMm,
  of: ToleranceOf = 'true-mm',
): number {
  const length = distanceMm(a.at, b.at);
  const direction =
    length > 0 ? { x: (b.at.x - a.at.x) / length, y: (b.at.y - a.at.y) / length } : { x: 1, y: 0 };
  return toleranceAlong(joined, a, b, direction, zMm, of);
}

/** One sigma of how far apart, mm, two photos may put the same flat place of the table: the worse of x and y. */
export function agreementMm(
  joined: JoinedPhotos,
  at: PlanePoint,
  photoA: number,
  photoB: number,
  zMm = joined.captures[0]!.thicknessMm,
): number {
  const [a, b] = [
    { at, photo: photoA },
    { at, photo: photoB },
  ];
  return Math.max(
    ...[
      { x: 1, y: 0 },
      { x: 0, y: 1 },
    ].map((way) => toleranceAlong(joined, a, b, way, zMm)),
  );
}

/** Directions in which a piece's extreme points are sought. */
const DIRECTIONS = 12;

/** The largest one-sigma tolerance, mm, of a length across an outline: between its extreme points in twelve directions. */
export function worstToleranceAcrossMm(
  joined: JoinedPhotos,
  points: readonly PhotoPoint[],
  of: ToleranceOf = 'true-mm',
): number {
  const zMm = joined.captures[0]!.thicknessMm;
  let worst = 0;
  if (points.length < 2) return worst;
  for (let k = 0; k < DIRECTIONS; k++) {
    const [c, s] = [Math.cos((k * Math.PI) / DIRECTIONS), Math.sin((k * Math.PI) / DIRECTIONS)];
    const along = ({ at }: PhotoPoint): number => c * at.x + s * at.y;
    const first = points.reduce((best, point) => (along(point) < along(best) ? point : best));
    const last = points.reduce((best, point) => (along(point) > along(best) ? point : best));
    if (distanceMm(first.at, last.at) > 0)
      worst = Math.max(worst, toleranceAcrossMm(joined, first, last, zMm, of));
  }
  return worst;
}
