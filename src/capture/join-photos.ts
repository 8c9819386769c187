/** Several photos of one table become one measurement, through the scale cards that they share. */
import { failure, type Outcome, success } from '../outcome.ts';
import { planeToImage } from './camera.ts';
import { CARD_CORNERS, CARD_FACE_HEIGHT_MM, MARK_CENTRES } from './card.ts';
import { photoProblem, photoState } from './join-problem.ts';
import { type JoinSolution, photoCovariance, solveJoin } from './join-solve.ts';
import { type DifferentSetUps, differentSetUps } from './join-layout.ts';
import { type JoinStart, meanGap, movedFinding, pointOfCard, sharedIds, startOfJoin } from './join-start.ts';
import type { JoinedPhotos, JoinErrorCode, JoinWarning, PhotoToJoin, SharedCard } from './join-types.ts';
import { pointsFit } from './misfit.ts';
import type { Capture, CardFinding } from './types.ts';

/** A shared card that photos put this far apart, mm, has moved ... */
const MOVED_MM = 0.6;
/** ... when the points' variance also falls by this factor once it need not lie alike. */
const MUCH_BETTER = 2;
/** Gaps this small in the common solve are no reason to look, mm. */
const QUIET_GAP_MM = 0.1;
/** Two photos must share this many other cards before one that disagrees can be named. */
const WITNESSES = 2;

interface Joined {
  readonly start: JoinStart;
  readonly solution: JoinSolution;
  readonly captures: readonly Capture[];
  readonly shared: readonly SharedCard[];
}

function captureInFrame(
  { capture }: PhotoToJoin,
  { motions, sightings }: JoinStart,
  solution: JoinSolution,
  photo: number,
): Capture {
  const { problem, state } = solution;
  const { camera } = photoState(problem, state, photo);
  const { targets } = photoProblem(problem, photo);
  const scale = { across: Math.exp(state.lnAcross), along: Math.exp(state.lnAlong) };
  let next = 0;
  const cards = capture.cards.map((card): CardFinding => {
    if (!card.used) return movedFinding(card, motions[photo]!);
    const k = next++;
    const place = state.places[sightings[photo]![k]!.tableCard]!;
    const target = targets[k + 1]!;
    const fit = pointsFit(
      camera,
      target,
      target.points.map(({ at }) => pointOfCard(place, at, scale)),
    );
    return {
      id: card.id,
      used: true,
      centre: { x: place.x, y: place.y },
      turnRad: Math.atan2(Math.sin(place.turnRad), Math.cos(place.turnRad)),
      cornersPx: CARD_CORNERS.map((at) =>
        planeToImage(camera, pointOfCard(place, at, scale), CARD_FACE_HEIGHT_MM),
      ),
      residualMm: fit.residualMm,
      points: card.points.map((point, i) => ({ ...point, solvedPx: fit.solvedPx[i]! })),
    };
  });
  const points = cards.filter(({ used }) => used).flatMap((card) => card.points);
  const squares = points.reduce(
    (sum, { seenPx, solvedPx }) => sum + (seenPx.u - solvedPx.u) ** 2 + (seenPx.v - solvedPx.v) ** 2,
    0,
  );
  return {
    ...capture,
    camera,
    cards,
    printScale: scale,
    rmsPx: Math.sqrt(squares / (2 * points.length)),
    covariance: photoCovariance(solution.covariance, state.cameras.length, photo),
  };
}

function sharedCards(captures: readonly Capture[], apart: ReadonlySet<number>): readonly SharedCard[] {
  return [...sharedIds(captures, apart)].map(([cardId, photos]) => {
    const gaps = photos.map((photo) => {
      const { camera, cards } = captures[photo]!;
      return meanGap(camera, cards.find(({ id }) => id === cardId)!.points);
    });
    const gapMm = Math.max(...gaps.flatMap((a) => gaps.map((b) => Math.hypot(a.x - b.x, a.y - b.y))));
    return { cardId, photos, gapMm };
  });
}

/** The common solve with some ids taken for different cards in different photos; undefined when it leads nowhere. */
function joinWith(photos: readonly PhotoToJoin[], apart: ReadonlySet<number>): Joined | undefined {
  const captures = photos.map(({ capture }) => capture);
  const start = startOfJoin(captures, apart);
  if ('loosePhoto' in start) return undefined;
  const solution = solveJoin(photos, start);
  if (!solution) return undefined;
  const joined = photos.map((photo, index) => captureInFrame(photo, start, solution, index));
  return { start, solution, captures: joined, shared: sharedCards(joined, apart) };
}

/** How far a card that is taken for different ones has moved between photos: its marks, RMS, mm. */
function movementMm({ captures }: Joined, cardId: number): number {
  const marks = captures.flatMap(({ cards, printScale }) =>
    cards
      .filter(({ id, used }) => id === cardId && used)
      .map(({ centre, turnRad }) =>
        MARK_CENTRES.map((at) => pointOfCard({ ...centre, turnRad }, at, printScale)),
      ),
  );
  const apartMm = (a: (typeof marks)[number], b: (typeof marks)[number]): number =>
    Math.sqrt(a.reduce((sum, { x, y }, i) => sum + (x - b[i]!.x) ** 2 + (y - b[i]!.y) ** 2, 0) / a.length);
  return Math.max(0, ...marks.flatMap((a) => marks.map((b) => apartMm(a, b))));
}

interface Suspicion {
  readonly cardId: number;
  readonly trial: Joined;
  readonly movedMm: number;
}

/** The card that disagrees most between the photos, when one clearly does. */
function findMoved(
  photos: readonly PhotoToJoin[],
  joined: Joined,
  apart: ReadonlySet<number>,
): Suspicion | undefined {
  if (joined.shared.length < 2 || joined.shared.every(({ gapMm }) => gapMm < QUIET_GAP_MM)) return undefined;
  const trials = joined.shared.flatMap(({ cardId }): Suspicion[] => {
    const trial = joinWith(photos, new Set([...apart, cardId]));
    return trial ? [{ cardId, trial, movedMm: movementMm(trial, cardId) }] : [];
  });
  const best = trials.sort((a, b) => a.trial.solution.variance - b.trial.solution.variance)[0];
  if (!best || best.movedMm < MOVED_MM) return undefined;
  return best.trial.solution.variance * MUCH_BETTER < joined.solution.variance ? best : undefined;
}

/** True when every pair of photos that a card ties shares enough others to say that it is this one that moved. */
function canBeNamed({ shared }: Joined, cardId: number): boolean {
  const { photos } = shared.find((card) => card.cardId === cardId)!;
  return photos.every((a) => {
    const others = shared.filter((card) => card.cardId !== cardId && card.photos.includes(a));
    return others.length >= WITNESSES;
  });
}

const listed = (ids: readonly number[]): string =>
  ids.length < 2 ? ids.join('') : `${ids.slice(0, -1).join(', ')} and ${ids.at(-1)}`;

function movedWarning({ cardId, movedMm }: Suspicion): JoinWarning {
  return {
    code: 'shared-card-moved',
    cardId,
    message:
      `Card ${cardId} lies ${movedMm.toFixed(1)} mm elsewhere in one photo than in the other: it was moved in between, or two cards carry ` +
      'this number. The photos are joined without it. Check that the piece was not moved as well, and leave everything as it lies between photos.',
  };
}

function firstProblem(photos: readonly PhotoToJoin[]): ReturnType<typeof failure<JoinErrorCode>> | undefined {
  if (photos.length < 2) {
    return failure(
      'one-photo',
      'Joining takes two photos or more that show the same scale cards. Add the second photo of the piece.',
    );
  }
  const thicknesses = [...new Set(photos.map(({ capture }) => capture.thicknessMm))];
  if (thicknesses.length > 1) {
    return failure(
      'thickness-differs',
      `The photos say different thicknesses for one piece (${listed(thicknesses)} mm), so its edge would be measured at two heights. ` +
        'Enter the same thickness for all of them.',
    );
  }
  return undefined;
}

function setUpsProblem({ photos: [a, b], cardIds, offMm }: DifferentSetUps) {
  return failure<JoinErrorCode>(
    'different-set-ups',
    `Photos ${a + 1} and ${b + 1} both show cards ${listed(cardIds)}, but the cards lie quite differently in each (up to ${offMm.toFixed(0)} mm off), so these ` +
      'are photos of different set-ups and no outline runs across them. Lay the piece and all cards once, touch nothing, and take the photos one after the other.',
  );
}

function looseProblem(
  photos: readonly PhotoToJoin[],
  loose: number,
): ReturnType<typeof failure<JoinErrorCode>> {
  const idsOf = (index: number): string => {
    const ids = photos[index]!.capture.cards.filter(({ used }) => used).map(({ id }) => id);
    return `photo ${index + 1} shows ${ids.length === 1 ? 'card' : 'cards'} ${listed(ids)}`;
  };
  return failure(
    'no-shared-card',
    `Photo ${loose + 1} shares no scale card with the rest (${photos.map((_, index) => idsOf(index)).join('; ')}), so nobody can tell how ` +
      'they lie to each other. Photograph again so that two or three cards by the middle of the piece are whole in both photos.',
  );
}

/**
 * Joins photos of one table into one frame, that of the first photo: one solve over all photos' card points, with the
 * cards that they share at one place each. Works from captures alone (capture-cards.ts), so that the photos need not be
 * opened again. The piece and the cards must not have been moved between the photos; a shared card that was moved is
 * found and named where at least two others tell. Other references than scale cards take no part.
 */
export function joinPhotos(photos: readonly PhotoToJoin[]): Outcome<JoinedPhotos, JoinErrorCode> {
  const problem = firstProblem(photos);
  if (problem) return problem;
  const start = startOfJoin(
    photos.map(({ capture }) => capture),
    new Set(),
  );
  if ('loosePhoto' in start) return looseProblem(photos, start.loosePhoto);
  const different = differentSetUps(photos.map(({ capture }) => capture));
  if (different) return setUpsProblem(different);
  const apart = new Set<number>();
  const warnings: JoinWarning[] = [];
  let joined = joinWith(photos, apart);
  while (joined) {
    const moved = findMoved(photos, joined, apart);
    if (!moved) break;
    if (!canBeNamed(joined, moved.cardId)) {
      const ids = joined.shared.map(({ cardId }) => cardId);
      return failure(
        'shared-cards-moved',
        `Cards ${listed(ids)} do not lie the same way to each other in the photos (one is off by about ${moved.movedMm.toFixed(1)} mm): something ` +
          'was moved between the photos, so they cannot be joined. Leave piece and cards as they lie, share three cards, and photograph again.',
      );
    }
    apart.add(moved.cardId);
    warnings.push(movedWarning(moved));
    joined = moved.trial;
  }
  if (!joined) {
    return failure(
      'no-solution',
      'The photos share scale cards, but no one table fits all of them, so they cannot be joined. Photograph again with all cards flat on the table.',
    );
  }
  const { shared, captures, solution } = joined;
  photos.forEach((_, index) => {
    const ties = shared.filter((card) => card.photos.includes(index));
    if (ties.length !== 1 || warnings.some(({ cardId }) => cardId === ties[0]!.cardId)) return;
    warnings.push({
      code: 'one-shared-card',
      cardId: ties[0]!.cardId,
      message:
        `Only card ${ties[0]!.cardId} ties photo ${index + 1} to the others, so whatever is off with that card turns one end of the piece, ` +
        'and no other card tells. Let two or three cards be whole in both photos.',
    });
  });
  return success({ captures, covariance: solution.covariance, shared, warnings });
}
