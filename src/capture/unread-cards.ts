/** Scale cards that lie in the photo but whose square could not be read: cut off by its border, or covered. */
import { distanceMm, type ImagePoint, type PlanePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { CARD_CORNERS, CARD_SIDE_MM, MARK_CENTRES, SQUARE_CORNERS } from './card.ts';
import { CardLook, type CardPlace, laid } from './card-look.ts';
import { type LoneMark, loneMarks } from './lone-marks.ts';
import type { Capture, UnreadCard } from './types.ts';

/** Marks of one card lie in their places to about this, mm (other print scales, a curled card), and are turned alike, rad. */
const PLACE_MM = 2.5;
const TURN_RAD = 0.1;
/** Share of the places near a mark that must be as on a card: with other marks to bear it out, and by itself. */
const NEAR_AGREES = 0.85;
const ALONE_AGREES = 0.95;
/** So many places and cells from its mark inward must be a card's where but one mark stands for it. */
const LEAST_PLACES = 14;
const LEAST_CELLS = 8;
/**
 * A number is told when so many cells from the marks inward are its own, and so many more than any other's. One of them
 * may be wrong, and there are twelve numbers either way up, so chance gives some number 10 cells in one card of four, 12
 * in one of thirteen, most of them without the lead.
 */
const TELLING_CELLS = 12;
const TELLING_LEAD = 4;
/** Cards whose middles lie nearer to each other than this, mm, would overlap. */
const APART_MM = 0.9 * CARD_SIDE_MM;

/** Angle between two turns that are known but for half a turn. */
function turnBetween(a: number, b: number): number {
  const turn = (((a - b) % Math.PI) + Math.PI) % Math.PI;
  return Math.min(turn, Math.PI - turn);
}

/** Every card that could have a mark, with the other marks that lie in its places. */
function cardPlaces(marks: readonly LoneMark[]): readonly CardPlace[] {
  return marks.flatMap((mark) =>
    MARK_CENTRES.map((at): CardPlace => {
      const off = laid({ centre: { x: 0, y: 0 }, turnRad: mark.turnRad }, at);
      const place = { centre: { x: mark.at.x - off.x, y: mark.at.y - off.y }, turnRad: mark.turnRad };
      const own = marks.filter(
        (other) =>
          turnBetween(other.turnRad, mark.turnRad) < TURN_RAD &&
          MARK_CENTRES.some((centre) => distanceMm(laid(place, centre), other.at) < PLACE_MM),
      );
      return settled({ ...place, marks: own });
    }),
  );
}

/** The place turned and moved onto two marks that lie far apart, whose own turns are rougher. */
function settled(place: CardPlace): CardPlace {
  const matched = place.marks.map((mark) => {
    const nominal = [...MARK_CENTRES].sort(
      (a, b) => distanceMm(laid(place, a), mark.at) - distanceMm(laid(place, b), mark.at),
    );
    return { mark, at: nominal[0]! };
  });
  const [a, b] = [matched[0]!, matched.at(-1)!];
  if (a === b) return place;
  const angle = (p: PlanePoint, q: PlanePoint): number => Math.atan2(q.y - p.y, q.x - p.x);
  const turnRad = angle(a.mark.at, b.mark.at) - angle(a.at, b.at);
  const offs = matched.map(({ mark, at }) => {
    const off = laid({ centre: { x: 0, y: 0 }, turnRad }, at);
    return { x: mark.at.x - off.x, y: mark.at.y - off.y };
  });
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  return {
    centre: { x: mean(offs.map(({ x }) => x)), y: mean(offs.map(({ y }) => y)) },
    turnRad,
    marks: place.marks,
  };
}

interface Found {
  readonly centre: PlanePoint;
  readonly card: UnreadCard;
  /** How many of its places show. */
  readonly worth: number;
}

/** A card at a place, if what shows there is one. */
function cardAt(photo: Raster, { camera, cards }: Capture, place: CardPlace): Found | undefined {
  const look = new CardLook(photo, camera, place);
  const limit = place.marks.length > 1 ? NEAR_AGREES : ALONE_AGREES;
  const borneOut = place.marks.filter((mark) => (look.near(mark) ?? 0) >= limit);
  if (borneOut.length < Math.min(2, place.marks.length)) return undefined;
  const plain = look.plainPlaces();
  const [best, second] = look.cellsOfIds();
  if (place.marks.length === 1 && (plain < LEAST_PLACES || best!.cells < LEAST_CELLS)) return undefined;
  const isTold =
    best!.cells >= TELLING_CELLS &&
    best!.cells >= second!.cells + TELLING_LEAD &&
    cards.every(({ id }) => id !== best!.id);
  const square = SQUARE_CORNERS.map((at) => look.inPhoto(at));
  const card = {
    ...(isTold && { id: best!.id }),
    cornersPx: CARD_CORNERS.map((at) => look.inPhoto(at)),
    isCutOff: square.some(({ u, v }) => u < 0 || v < 0 || u > photo.width - 1 || v > photo.height - 1),
  };
  return { centre: place.centre, card, worth: plain + best!.cells };
}

/** True inside a convex outline, px. */
function isInside(corners: readonly ImagePoint[], { u, v }: ImagePoint): boolean {
  const sides = corners.map((a, i) => {
    const b = corners[(i + 1) % corners.length]!;
    return (b.u - a.u) * (v - a.v) - (b.v - a.v) * (u - a.u) > 0;
  });
  return sides.every((side) => side === sides[0]);
}

/**
 * Cards whose square was not found but whose hourglass marks are there, in places where none of the capture's cards lies.
 * Two marks with the square's beginning beside them make a card, or one mark with a good part of the square.
 */
export function unreadCards(photo: Raster, capture: Capture): readonly UnreadCard[] {
  const { camera, cards } = capture;
  const known = cards.flatMap(({ points }) =>
    points.filter(({ kind }) => kind === 'hourglass').map(({ seenPx }) => seenPx),
  );
  const marks = loneMarks(photo, camera, known, (at) =>
    cards.some(({ cornersPx }) => isInside(cornersPx, at)),
  );
  const isFree = (others: readonly { readonly centre: PlanePoint }[], at: PlanePoint): boolean =>
    others.every(({ centre }) => distanceMm(centre, at) >= APART_MM);
  const candidates = cardPlaces(marks)
    .filter(({ centre }) => isFree(cards, centre))
    .flatMap((place) => cardAt(photo, capture, place) ?? [])
    .sort((a, b) => b.worth - a.worth);
  const found: Found[] = [];
  for (const candidate of candidates) if (isFree(found, candidate.centre)) found.push(candidate);
  return found.map(({ card }) => card);
}
