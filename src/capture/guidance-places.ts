/** Places in the picture where one more card or sheet, or a tape, could lie. */
import { distanceMm, type ImagePoint, type PlanePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { CARD_SIDE_MM } from './card.ts';
import type { Capture } from './types.ts';

export interface Spot {
  /** "at the left end", "in the top right corner": as the photo shows it. */
  readonly words: string;
  /** Where the middle of what is laid there would be on the table, mm. */
  readonly at: PlanePoint;
}

/** Outline on the table, mm, of what would be laid with its middle at a place. */
export type Laid = (at: PlanePoint) => readonly PlanePoint[];

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
/** A scale or bank card turned any way fits in a circle of this radius, with room to spare. */
const ROOM_MM = 0.75 * CARD_SIDE_MM;
/** Cards closer than this overlap. */
const APART_MM = 1.2 * CARD_SIDE_MM;
const SHRINKS = 24;
/** Corners of the circle by which a card is judged. */
const CORNERS = 8;

/** Whatever way a card is turned, it lies inside this. */
const roomOfCard: Laid = (at) =>
  Array.from({ length: CORNERS }, (_, k) => {
    const angle = (2 * Math.PI * k) / CORNERS;
    return { x: at.x + ROOM_MM * Math.cos(angle), y: at.y + ROOM_MM * Math.sin(angle) };
  });

/** True when all of an outline shows. */
export function fitsInPicture(camera: Camera, outline: readonly PlanePoint[]): boolean {
  return outline.every((point) => {
    const { u, v } = planeToImage(camera, point);
    return u > 0 && v > 0 && u < camera.widthPx - 1 && v < camera.heightPx - 1;
  });
}

/** True when a place lies in an outline or within `roomMm` of it. */
export function liesOn(outline: readonly PlanePoint[], at: PlanePoint, roomMm: number): boolean {
  let isInside = false;
  for (let i = 0; i < outline.length; i++) {
    const [a, b] = [outline[i]!, outline[(i + 1) % outline.length]!];
    const [ex, ey] = [b.x - a.x, b.y - a.y];
    const share = Math.max(
      0,
      Math.min(1, ((at.x - a.x) * ex + (at.y - a.y) * ey) / (ex * ex + ey * ey || 1)),
    );
    if (distanceMm(at, { x: a.x + share * ex, y: a.y + share * ey }) < roomMm) return true;
    if (a.y > at.y !== b.y > at.y && at.x < a.x + ((at.y - a.y) / ey) * ex) isInside = !isInside;
  }
  return isInside;
}

/** Places along the way from one point to another, no farther apart than `stepMm`, with both ends. */
export function along(from: PlanePoint, to: PlanePoint, stepMm: number): readonly PlanePoint[] {
  const steps = Math.max(1, Math.ceil(distanceMm(from, to) / stepMm));
  return Array.from({ length: steps + 1 }, (_, k) => ({
    x: from.x + (k / steps) * (to.x - from.x),
    y: from.y + (k / steps) * (to.y - from.y),
  }));
}

/** Outlines are compared at places this close, mm. */
const OVERLAP_STEP_MM = 8;

/** True when two outlines come nearer to each other than `roomMm`, or one lies in the other. */
export function overlaps(one: readonly PlanePoint[], other: readonly PlanePoint[], roomMm: number): boolean {
  const [first] = other;
  return (
    (first !== undefined && liesOn(one, first, roomMm)) ||
    one.some((point, i) =>
      along(point, one[(i + 1) % one.length]!, OVERLAP_STEP_MM).some((at) => liesOn(other, at, roomMm)),
    )
  );
}

/** Pieces and whatever else lies on the table keep this far from what is laid beside them. */
const CLEAR_MM = 6;

/**
 * Free places at the ends and in the corners of the picture, as far out as the whole of what is laid shows, clear of
 * the scale cards that lie there already and of the outlines `taken` (mm on the table). Nothing nearer to the middle than
 * `leastShare` of the way to the border is an end or a corner.
 */
export function freeSpots(
  { camera, cards }: Capture,
  taken: readonly (readonly PlanePoint[])[],
  laid: Laid = roomOfCard,
  leastShare = 0.5,
): readonly Spot[] {
  const middle: ImagePoint = { u: (camera.widthPx - 1) / 2, v: (camera.heightPx - 1) / 2 };
  return WAYS.flatMap(([right, down, words]) => {
    for (let k = SHRINKS; k > leastShare * SHRINKS; k--) {
      const share = k / SHRINKS;
      const at = imageToPlane(camera, {
        u: middle.u * (1 + share * right),
        v: middle.v * (1 + share * down),
      });
      if (!Number.isFinite(at.x)) continue;
      const outline = laid(at);
      if (!fitsInPicture(camera, outline)) continue;
      const isTaken =
        cards.some(
          ({ centre }) => distanceMm(centre, at) < APART_MM || liesOn(outline, centre, APART_MM / 2),
        ) || taken.some((other) => overlaps(outline, other, CLEAR_MM));
      return isTaken ? [] : [{ words, at }];
    }
    return [];
  });
}
