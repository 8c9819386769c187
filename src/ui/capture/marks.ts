import { planeToImage } from '../../capture/camera.ts';
import { CARD_FACE_HEIGHT_MM, MARK_CENTRES } from '../../capture/card.ts';
import type { Capture, CardFinding, CardMark } from '../../capture/types.ts';
import { distanceMm, type ImagePoint, type PlanePoint } from '../../geometry/point.ts';

const MARKS = [0, 1, 2, 3] as const;
const MARK_NAMES = ['top left', 'top right', 'bottom right', 'bottom left'] as const;

/** "card 3, top left": a mark by its place on the upright card. */
export function markWords({ cardId, mark }: CardMark): string {
  return `card ${cardId}, ${MARK_NAMES[mark]}`;
}

/** Where a hourglass mark of a found card lies on the table, mm. */
function markOnTable(capture: Capture, card: CardFinding, mark: CardMark['mark']): PlanePoint {
  const printed = MARK_CENTRES[mark];
  const x = printed.x * capture.printScale.across;
  const y = printed.y * capture.printScale.along;
  const [cos, sin] = [Math.cos(card.turnRad), Math.sin(card.turnRad)];
  return { x: card.centre.x + cos * x - sin * y, y: card.centre.y + sin * x + cos * y };
}

/** Every mark of the cards that the solve used, on the table. */
function marksOnTable(capture: Capture): { readonly mark: CardMark; readonly at: PlanePoint }[] {
  return capture.cards
    .filter(({ used }) => used)
    .flatMap((card) =>
      MARKS.map((mark) => ({ mark: { cardId: card.id, mark }, at: markOnTable(capture, card, mark) })),
    );
}

/** Every mark of the cards that the solve used. */
export function allMarks(capture: Capture): readonly CardMark[] {
  return marksOnTable(capture).map(({ mark }) => mark);
}

export interface MarkSpan {
  readonly from: CardMark;
  readonly to: CardMark;
  readonly fromMm: PlanePoint;
  readonly toMm: PlanePoint;
  readonly lengthMm: number;
}

/** The two marks farthest apart: the longest distance that the photo measures directly. */
export function longestMarkSpan(capture: Capture): MarkSpan | undefined {
  const marks = marksOnTable(capture);
  let longest: MarkSpan | undefined;
  for (const [index, a] of marks.entries()) {
    for (const b of marks.slice(index + 1)) {
      const lengthMm = distanceMm(a.at, b.at);
      if (lengthMm > (longest?.lengthMm ?? 0)) {
        longest = { from: a.mark, to: b.mark, fromMm: a.at, toMm: b.at, lengthMm };
      }
    }
  }
  return longest;
}

/** Distance between two marks as the solve has it, mm; undefined when a card is not among those found. */
export function spanBetween(capture: Capture, from: CardMark, to: CardMark): MarkSpan | undefined {
  const place = ({ cardId, mark }: CardMark) => {
    const card = capture.cards.find(({ id }) => id === cardId);
    return card && markOnTable(capture, card, mark);
  };
  const [fromMm, toMm] = [place(from), place(to)];
  return fromMm && toMm && { from, to, fromMm, toMm, lengthMm: distanceMm(fromMm, toMm) };
}

/** Where a point of the table, at the height of the cards' faces, shows in the photo. */
export function cardPointInPhoto(capture: Capture, point: PlanePoint): ImagePoint {
  return planeToImage(capture.camera, point, CARD_FACE_HEIGHT_MM);
}

export interface MarkInPhoto {
  readonly mark: CardMark;
  readonly at: ImagePoint;
}

/** Every mark of the used cards where it shows in the photo. */
export function marksInPhoto(capture: Capture): readonly MarkInPhoto[] {
  return marksOnTable(capture).map(({ mark, at }) => ({ mark, at: cardPointInPhoto(capture, at) }));
}

/** The mark nearest to a point of the photo, if one lies within `reachPx`. */
export function nearestMark(
  marks: readonly MarkInPhoto[],
  { u, v }: ImagePoint,
  reachPx: number,
): CardMark | undefined {
  let best: CardMark | undefined;
  let bestPx = reachPx;
  for (const { mark, at } of marks) {
    const distance = Math.hypot(at.u - u, at.v - v);
    if (distance <= bestPx) [best, bestPx] = [mark, distance];
  }
  return best;
}
