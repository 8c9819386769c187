/** Starting states: both two-fold poses of each card, the other cards laid through it. */
import type { PlanePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane } from './camera.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import type { SeenCard } from './card-points.ts';
import { cameraInFrame } from './camera-parameters.ts';
import { planePoses } from './plane-pose.ts';
import type { CardPlace, SolveState } from './solve-state.ts';

/** A card's points carried to the table (seen) beside their nominal places times the print scale. */
export interface LaidPoint {
  readonly nominal: PlanePoint;
  readonly laid: PlanePoint;
}

/** Carries a card's points to the table with a camera; places are NaN where a line of sight misses it. */
export function layPoints(
  camera: Camera,
  card: SeenCard,
  lnAcross: number,
  lnAlong: number,
): readonly LaidPoint[] {
  return card.points.map(({ at, seen }) => ({
    nominal: { x: Math.exp(lnAcross) * at.x, y: Math.exp(lnAlong) * at.y },
    laid: imageToPlane(camera, seen, CARD_FACE_HEIGHT_MM),
  }));
}

/**
 * The place that best fits a card's points as laid, and the size they then show (1 = as expected): the
 * similarity of least squares in the plane (Umeyama, IEEE PAMI 13, 1991; two-dimensional case).
 */
export function placeOf(points: readonly LaidPoint[]): CardPlace & { readonly size: number } {
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

/** The state with all cards laid through a camera, in the first card's frame; undefined when one cannot be. */
function layAll(
  camera: Camera,
  cards: readonly SeenCard[],
  lnAcross: number,
  lnAlong: number,
): SolveState | undefined {
  const places = cards.map((card) => placeOf(layPoints(camera, card, lnAcross, lnAlong)));
  if (places.some(({ x, y }) => !(Number.isFinite(x) && Number.isFinite(y)))) return undefined;
  const { x: ox, y: oy, turnRad: turn } = places[0]!;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return {
    camera: cameraInFrame(camera, ox, oy, turn),
    lnAcross,
    lnAlong,
    places: places.map(({ x, y, turnRad }, card) =>
      card === 0
        ? { x: 0, y: 0, turnRad: 0 }
        : { x: c * (x - ox) + s * (y - oy), y: c * (y - oy) - s * (x - ox), turnRad: turnRad - turn },
    ),
  };
}

/** All starting states for a focal length and print scale: up to two for each card. */
export function startingStates(
  cards: readonly SeenCard[],
  size: { readonly widthPx: number; readonly heightPx: number },
  focalPx: number,
  lnAcross: number,
  lnAlong: number,
): readonly SolveState[] {
  const centre = { u: (size.widthPx - 1) / 2, v: (size.heightPx - 1) / 2 };
  return cards.flatMap((card) => {
    const sightings = card.points.map(({ at, seen }) => ({
      at: { x: Math.exp(lnAcross) * at.x, y: Math.exp(lnAlong) * at.y },
      direction: [(seen.u - centre.u) / focalPx, (seen.v - centre.v) / focalPx] as const,
    }));
    return planePoses(sightings).flatMap(({ rotation, centreMm: [x, y, z] }) => {
      const camera: Camera = {
        ...size,
        focalPx,
        offsetUPx: 0,
        offsetVPx: 0,
        k1: 0,
        k2: 0,
        rotation,
        centreMm: [x, y, z + CARD_FACE_HEIGHT_MM],
      };
      return layAll(camera, cards, lnAcross, lnAlong) ?? [];
    });
  });
}
