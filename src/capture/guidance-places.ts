/** Places round the picture where one more scale card could lie. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { CARD_SIDE_MM } from './card.ts';
import type { Capture } from './types.ts';

export interface CardSpot {
  /** "at the left end", "in the top right corner": as the photo shows it. */
  readonly words: string;
  /** Where the card's centre would lie on the table, mm. */
  readonly at: PlanePoint;
}

/** From the middle of the picture towards its border: -1 left or top, 1 right or bottom. */
const WAYS: readonly (readonly [number, number, string])[] = [
  [-1, 0, 'at the left end'],
  [1, 0, 'at the right end'],
  [0, -1, 'at the top'],
  [0, 1, 'at the bottom'],
  [-1, -1, 'in the top left corner'],
  [1, -1, 'in the top right corner'],
  [1, 1, 'in the bottom right corner'],
  [-1, 1, 'in the bottom left corner'],
];
/** A card turned any way fits in a circle of this radius, with room to spare. */
const ROOM_MM = 0.75 * CARD_SIDE_MM;
/** Cards closer than this overlap. */
const APART_MM = 1.2 * CARD_SIDE_MM;
const SHRINKS = 24;

function fitsInPicture(camera: Camera, at: PlanePoint): boolean {
  return [0, 1, 2, 3, 4, 5, 6, 7].every((k) => {
    const angle = (k * Math.PI) / 4;
    const { u, v } = planeToImage(camera, {
      x: at.x + ROOM_MM * Math.cos(angle),
      y: at.y + ROOM_MM * Math.sin(angle),
    });
    return u > 0 && v > 0 && u < camera.widthPx - 1 && v < camera.heightPx - 1;
  });
}

/** True when a circle of the card's size about a place touches or lies in the outline. */
function liesOn(outline: readonly PlanePoint[], at: PlanePoint): boolean {
  let isInside = false;
  for (let i = 0; i < outline.length; i++) {
    const [a, b] = [outline[i]!, outline[(i + 1) % outline.length]!];
    const [ex, ey] = [b.x - a.x, b.y - a.y];
    const share = Math.max(
      0,
      Math.min(1, ((at.x - a.x) * ex + (at.y - a.y) * ey) / (ex * ex + ey * ey || 1)),
    );
    if (distanceMm(at, { x: a.x + share * ex, y: a.y + share * ey }) < ROOM_MM) return true;
    if (a.y > at.y !== b.y > at.y && at.x < a.x + ((at.y - a.y) / ey) * ex) isInside = !isInside;
  }
  return isInside;
}

/**
 * Free places at the ends and in the corners of the picture, as far out as a whole card shows, clear of the cards
 * that lie there already and of the pieces' outlines (mm on the table).
 */
export function freeSpots(
  { camera, cards }: Capture,
  pieces: readonly (readonly PlanePoint[])[],
): readonly CardSpot[] {
  const middle: ImagePoint = { u: (camera.widthPx - 1) / 2, v: (camera.heightPx - 1) / 2 };
  return WAYS.flatMap(([right, down, words]) => {
    for (let k = SHRINKS; k > SHRINKS / 2; k--) {
      const share = k / SHRINKS;
      const at = imageToPlane(camera, {
        u: middle.u * (1 + share * right),
        v: middle.v * (1 + share * down),
      });
      if (!Number.isFinite(at.x) || !fitsInPicture(camera, at)) continue;
      const isTaken =
        cards.some(({ centre }) => distanceMm(centre, at) < APART_MM) ||
        pieces.some((outline) => liesOn(outline, at));
      return isTaken ? [] : [{ words, at }];
    }
    return [];
  });
}
