/** Starting states: both two-fold poses of each target, the others laid through it. */
import type { PlanePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane } from './camera.ts';
import { cameraInFrame } from './camera-parameters.ts';
import { type PlanePose, planePoses, type PlaneSighting } from './plane-pose.ts';
import type { SolveState, TargetPlace } from './solve-state.ts';
import { faceHeightOf, roughPoints, type SeenTarget, slackCount } from './solve-target.ts';

/** A target's points carried to the table (seen) beside their nominal places times the print scale. */
export interface LaidPoint {
  readonly nominal: PlanePoint;
  readonly laid: PlanePoint;
}

/** Carries a target's points to the table with a camera; places are NaN where a line of sight misses it. */
export function layPoints(
  camera: Camera,
  target: SeenTarget,
  lnAcross: number,
  lnAlong: number,
): readonly LaidPoint[] {
  return roughPoints(target).map(({ at, seen }) => ({
    nominal: printedPlace(target, at, lnAcross, lnAlong),
    laid: imageToPlane(camera, seen, faceHeightOf(target)),
  }));
}

/** A nominal place at its true size. */
function printedPlace(
  { isPrinted = true }: SeenTarget,
  at: PlanePoint,
  lnAcross: number,
  lnAlong: number,
): PlanePoint {
  return isPrinted ? { x: Math.exp(lnAcross) * at.x, y: Math.exp(lnAlong) * at.y } : at;
}

/**
 * The place that best fits a target's points as laid, and the size they then show (1 = as expected): the
 * similarity of least squares in the plane (Umeyama, IEEE PAMI 13, 1991; two-dimensional case).
 */
export function placeOf(points: readonly LaidPoint[]): TargetPlace & { readonly size: number } {
  const n = points.length;
  const mean = (value: (point: LaidPoint) => number): number =>
    points.reduce((sum, point) => sum + value(point), 0) / n;
  const [nx, ny] = [mean(({ nominal }) => nominal.x), mean(({ nominal }) => nominal.y)];
  const [lx, ly] = [mean(({ laid }) => laid.x), mean(({ laid }) => laid.y)];
  let [along, across, square] = [0, 0, 0];
  for (const { nominal, laid } of points) {
    const [ax, ay, bx, by] = [nominal.x - nx, nominal.y - ny, laid.x - lx, laid.y - ly];
    along += ax * bx + ay * by;
    across += ax * by - ay * bx;
    square += ax * ax + ay * ay;
  }
  const turnRad = Math.atan2(across, along);
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return {
    x: lx - c * nx + s * ny,
    y: ly - s * nx - c * ny,
    turnRad,
    size: Math.hypot(along, across) / square,
  };
}

/** The state with all targets laid through a camera, in the first one's frame; undefined when one cannot be. */
function layAll(
  camera: Camera,
  targets: readonly SeenTarget[],
  lnAcross: number,
  lnAlong: number,
): SolveState | undefined {
  const places = targets.map((target) => placeOf(layPoints(camera, target, lnAcross, lnAlong)));
  if (places.some(({ x, y }) => !(Number.isFinite(x) && Number.isFinite(y)))) return undefined;
  const { x: ox, y: oy, turnRad: turn } = places[0]!;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return {
    camera: cameraInFrame(camera, ox, oy, turn),
    lnAcross,
    lnAlong,
    places: places.map(({ x, y, turnRad }, target) =>
      target === 0
        ? { x: 0, y: 0, turnRad: 0 }
        : { x: c * (x - ox) + s * (y - oy), y: c * (y - oy) - s * (x - ox), turnRad: turnRad - turn },
    ),
    slack: Array.from({ length: slackCount(targets) }, () => 0),
  };
}

/**
 * The camera straight above two points a known distance apart, its picture's right along the table's x. The plane
 * is the points' own.
 */
function poseStraightAbove(sightings: readonly PlaneSighting[]): PlanePose | undefined {
  const [a, b] = sightings;
  if (!a || !b) return undefined;
  const spread = Math.hypot(b.direction[0] - a.direction[0], b.direction[1] - a.direction[1]);
  const height = Math.hypot(b.at.x - a.at.x, b.at.y - a.at.y) / spread;
  if (!Number.isFinite(height)) return undefined;
  return { rotation: [1, 0, 0, 0, -1, 0, 0, 0, -1], centreMm: [0, 0, height] };
}

/** All starting states for a focal length and print scale: up to two for each target. */
export function startingStates(
  targets: readonly SeenTarget[],
  size: { readonly widthPx: number; readonly heightPx: number },
  focalPx: number,
  lnAcross: number,
  lnAlong: number,
): readonly SolveState[] {
  const centre = { u: (size.widthPx - 1) / 2, v: (size.heightPx - 1) / 2 };
  const isOnlyPair = targets.every((target) => roughPoints(target).length === 2);
  return targets.flatMap((target) => {
    const sightings = roughPoints(target).map(({ at, seen }) => ({
      at: printedPlace(target, at, lnAcross, lnAlong),
      direction: [(seen.u - centre.u) / focalPx, (seen.v - centre.v) / focalPx] as const,
    }));
    // Two points say nothing of the tilt: they start a solve only where nothing else does.
    const poses = isOnlyPair ? [poseStraightAbove(sightings) ?? []].flat() : planePoses(sightings);
    return poses.flatMap(({ rotation, centreMm: [x, y, z] }) => {
      const camera: Camera = {
        // Not spread: what is handed over holds all that was seen, and the camera goes into files.
        widthPx: size.widthPx,
        heightPx: size.heightPx,
        focalPx,
        offsetUPx: 0,
        offsetVPx: 0,
        k1: 0,
        k2: 0,
        rotation,
        centreMm: [x, y, z + faceHeightOf(target)],
      };
      return layAll(camera, targets, lnAcross, lnAlong) ?? [];
    });
  });
}
