/** From photos measured one by one to a start for their common solve: which cards are the same, and where all lies. */
import { mover } from '../geometry/motion.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';
import { fitRigid } from '../geometry/register.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { cameraInFrame } from './camera-parameters.ts';
import { CARD_FACE_HEIGHT_MM, MARK_CENTRES, SQUARE_CORNERS } from './card.ts';
import type { SeenPoint } from './card-points.ts';
import type { JoinSighting, JoinState } from './join-problem.ts';
import type { TargetPlace } from './solve-state.ts';
import type { Capture, CardFinding } from './types.ts';

/** Where a nominal point of a card at a place lies on the table. */
export function pointOfCard(place: TargetPlace, at: PlanePoint, scale: Capture['printScale']): PlanePoint {
  const [c, s] = [Math.cos(place.turnRad), Math.sin(place.turnRad)];
  const [x, y] = [scale.across * at.x, scale.along * at.y];
  return { x: place.x + c * x - s * y, y: place.y + s * x + c * y };
}

const placeOf = ({ centre, turnRad }: CardFinding): TargetPlace => ({ ...centre, turnRad });

/**
 * A card that does not lie quite flat shifts its marks by about this, mm (0.3 mm of lift seen 20 degrees aslant). It matters
 * where one card alone says how two photos are turned to each other.
 */
const LONE_CARD_MM = 0.1;

function pxPerMmAt(camera: Camera, at: PlanePoint): number {
  const [a, b] = [-5, 5].map((x) => planeToImage(camera, { x: at.x + x, y: at.y }));
  return Math.hypot(b!.u - a!.u, b!.v - a!.v) / 10;
}

/** The points that a capture measured on a card, with their nominal places: those of the mark or corner nearest by. */
function seenPointsOf(
  { camera, printScale }: Capture,
  card: CardFinding,
  isLone: boolean,
): readonly SeenPoint[] {
  const place = placeOf(card);
  const extraPx = isLone ? LONE_CARD_MM * pxPerMmAt(camera, card.centre) : 0;
  return card.points.map(({ kind, seenPx, sigmaPx }) => {
    const laid = imageToPlane(camera, seenPx, CARD_FACE_HEIGHT_MM);
    const nominal = kind === 'hourglass' ? MARK_CENTRES : SQUARE_CORNERS;
    const gaps = nominal.map((at) => distanceMm(pointOfCard(place, at, printScale), laid));
    const index = gaps.indexOf(Math.min(...gaps));
    return { kind, index, at: nominal[index]!, seen: seenPx, sigmaPx: Math.hypot(sigmaPx, extraPx) };
  });
}

/** Cards of one photo that can take part: those that its own solve used. */
function usedCards({ cards }: Capture): readonly CardFinding[] {
  return cards.filter(({ used }) => used);
}

/** Ids that tie photos together: carried by one card only in each of two photos or more, and not `apart`. */
export function sharedIds(
  captures: readonly Capture[],
  apart: ReadonlySet<number>,
): ReadonlyMap<number, readonly number[]> {
  const photosById = new Map<number, number[]>();
  captures.forEach((capture, photo) => {
    const ids = capture.cards.map(({ id }) => id);
    for (const { id } of usedCards(capture)) {
      if (apart.has(id) || ids.indexOf(id) !== ids.lastIndexOf(id)) continue;
      photosById.set(id, [...(photosById.get(id) ?? []), photo]);
    }
  });
  return new Map([...photosById].filter(([, photos]) => photos.length > 1));
}

/** Shared cards that alone tie a photo to the others. */
function loneIds(shared: ReadonlyMap<number, readonly number[]>, photoCount: number): ReadonlySet<number> {
  return new Set(
    Array.from({ length: photoCount }, (_, photo) =>
      [...shared].filter(([, photos]) => photos.includes(photo)),
    )
      .filter((ties) => ties.length === 1)
      .map(([tie]) => tie![0]),
  );
}

/** Moves a photo's own frame onto the common one. */
type Motion = ReturnType<typeof fitRigid>['motion'];
const STAYS: Motion = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };

function movedPlace({ x, y, turnRad }: TargetPlace, motion: Motion): TargetPlace {
  return { ...mover(motion)({ x, y }), turnRad: turnRad + motion.angleRad };
}

function movedCamera(camera: Camera, { angleRad, shift }: Motion): Camera {
  // Where the common frame's origin lies in the photo's own frame.
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  return cameraInFrame(camera, -c * shift.x - s * shift.y, s * shift.x - c * shift.y, -angleRad);
}

export interface JoinStart {
  readonly sightings: readonly (readonly JoinSighting[])[];
  /** Id of every card of the table; the first one is the gauge, as the first photo has it. */
  readonly tableIds: readonly number[];
  readonly state: JoinState;
  readonly motions: readonly Motion[];
}

/**
 * A start for the common solve: the first photo as it is, each other one laid on through the marks of the cards that
 * it shares with those before. The first photo that shares none with the rest is returned by its place in the list.
 */
export function startOfJoin(
  captures: readonly Capture[],
  apart: ReadonlySet<number>,
): JoinStart | { readonly loosePhoto: number } {
  const shared = sharedIds(captures, apart);
  const keyOf = (photo: number, card: CardFinding, k: number): string =>
    shared.has(card.id) ? `${card.id}` : `${photo}:${k}`;
  const places = new Map<string, TargetPlace>();
  const motions = new Map<number, Motion>();
  const lay = (photo: number, motion: Motion): void => {
    motions.set(photo, motion);
    usedCards(captures[photo]!).forEach((card, k) => {
      const key = keyOf(photo, card, k);
      if (!places.has(key)) places.set(key, movedPlace(placeOf(card), motion));
    });
  };
  lay(0, STAYS);
  while (motions.size < captures.length) {
    const waiting = captures.flatMap((capture, photo) => {
      if (motions.has(photo)) return [];
      const ties = usedCards(capture).filter(({ id }) => shared.has(id) && places.has(`${id}`));
      return [{ photo, ties }];
    });
    const next = waiting.sort((a, b) => b.ties.length - a.ties.length)[0]!;
    if (next.ties.length === 0) return { loosePhoto: next.photo };
    const { printScale } = captures[next.photo]!;
    const from = next.ties.flatMap((card) =>
      MARK_CENTRES.map((at) => pointOfCard(placeOf(card), at, printScale)),
    );
    const to = next.ties.flatMap(({ id }) =>
      MARK_CENTRES.map((at) => pointOfCard(places.get(`${id}`)!, at, captures[0]!.printScale)),
    );
    lay(next.photo, fitRigid(from, to).motion);
  }
  // The gauge is a card that ties the first photo to others, so that nothing hangs on a card seen once.
  const first = usedCards(captures[0]!).findIndex(({ id }) => shared.has(id));
  const gauge = keyOf(0, usedCards(captures[0]!)[first]!, first);
  const keys = [gauge, ...[...places.keys()].filter((key) => key !== gauge)];
  const ids = new Map<string, number>();
  const lone = loneIds(shared, captures.length);
  const sightings = captures.map((capture, photo) =>
    usedCards(capture).map((card, k) => {
      const key = keyOf(photo, card, k);
      ids.set(key, card.id);
      return { tableCard: keys.indexOf(key), points: seenPointsOf(capture, card, lone.has(card.id)) };
    }),
  );
  return {
    sightings,
    tableIds: keys.map((key) => ids.get(key)!),
    motions: captures.map((_, photo) => motions.get(photo)!),
    state: {
      cameras: captures.map(({ camera }, photo) => movedCamera(camera, motions.get(photo)!)),
      lnAcross: Math.log(captures[0]!.printScale.across),
      lnAlong: Math.log(captures[0]!.printScale.along),
      places: keys.map((key) => places.get(key)!),
    },
  };
}

/** A left-out card or other finding carried along with its photo. */
export function movedFinding(card: CardFinding, motion: Motion): CardFinding {
  const { x, y, turnRad } = movedPlace(placeOf(card), motion);
  return { ...card, centre: { x, y }, turnRad };
}

/** Mean gap between where points are seen and solved, on the table, mm. */
export function meanGap(
  camera: Camera,
  points: readonly { readonly seenPx: ImagePoint; readonly solvedPx: ImagePoint }[],
): PlanePoint {
  const gaps = points.map(({ seenPx, solvedPx }) => {
    const [a, b] = [seenPx, solvedPx].map((px) => imageToPlane(camera, px, CARD_FACE_HEIGHT_MM));
    return { x: a!.x - b!.x, y: a!.y - b!.y };
  });
  const n = Math.max(1, gaps.length);
  return {
    x: gaps.reduce((sum, { x }) => sum + x, 0) / n,
    y: gaps.reduce((sum, { y }) => sum + y, 0) / n,
  };
}
