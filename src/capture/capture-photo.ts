/** The capture stage: one photo with something of known size becomes a camera over the table, with its doubts. */
import { failure, type Outcome, type Progress, success } from '../outcome.ts';
import { findMarkers } from '../vision/markers.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { optionProblem } from './capture-options.ts';
import { CARD_CORNERS, CARD_COUNT } from './card.ts';
import { type SeenCard, seeCard } from './card-points.ts';
import { type FoundReference, findReference, type OtherReference } from './found-reference.ts';
import { applyHomography, fitHomography } from './homography.ts';
import { solveWithoutStrays } from './misfit.ts';
import { type FocalPrior, focalPriors, printPriors } from './priors.ts';
import { unreadWarning } from './card-warnings.ts';
import { CARD_UNLIKELY } from './reference-warnings.ts';
import { captureOf } from './solved-capture.ts';
import { solveTapes } from './tapes.ts';
import { unreadCards } from './unread-cards.ts';
import type { Capture, CaptureErrorCode, CaptureOptions, CaptureWarning } from './types.ts';

/** Below this no mark is more than a few pixels wide. */
const SMALLEST_SIDE_PX = 480;
/**
 * A phone held level by eye, or by the level in its camera app, looks straight down to about this, one sigma in each
 * direction (common practice, no source).
 */
export const LEVEL_DOUBT_RAD = (2.5 * Math.PI) / 180;

const NO_CARD =
  'No scale card was found in the photo, so nothing can be measured. Lay four or more printed scale cards around the piece, ' +
  'each one whole, face up and in even light, and take the photo again.';
const NO_FIT =
  'What the photo shows of the references does not fit flat things on one table, so nothing can be measured. ' +
  'Lay them flat beside the piece and take the photo from above.';
const NO_CARD_FIT =
  'Scale cards were found, but their marks do not fit flat cards on one table, so nothing can be measured. ' +
  'Lay the cards flat beside the piece and take the photo from above.';

/** Where a card's paper ends in the photo, by its points alone. */
function paperPx({ points }: SeenCard) {
  const homography = fitHomography(points);
  return homography ? CARD_CORNERS.map((at) => applyHomography(homography, at)) : [];
}

/** True when scale cards are among what the photo is measured by. */
function seeksCards({ references }: CaptureOptions): boolean {
  return references?.some(({ kind }) => kind === 'cards') ?? true;
}

interface Sights {
  readonly cards: readonly SeenCard[];
  readonly references: readonly FoundReference[];
  /** One for each reference that was not found. */
  readonly missing: readonly CaptureWarning[];
}

/** Everything in the photo that the maker wants to measure by. */
function look(
  vision: Vision,
  photo: Raster,
  options: CaptureOptions,
  focals: readonly FocalPrior[],
  progress?: Progress,
): Sights {
  let cards: readonly SeenCard[] = [];
  if (seeksCards(options)) {
    progress?.('looking for scale cards', 0);
    const markers = findMarkers(vision, photo, CARD_COUNT);
    progress?.("measuring the cards' marks", 0.4);
    cards = markers.flatMap((marker) => seeCard(photo, marker) ?? []);
  }
  const others = (options.references ?? []).filter(
    (reference): reference is OtherReference => reference.kind !== 'cards',
  );
  const found: FoundReference[] = [];
  const missing: CaptureWarning[] = [];
  const known = cards.map(paperPx).filter(({ length }) => length > 0);
  others.forEach((reference, i) => {
    progress?.('looking for the reference', 0.5 + (0.3 * i) / others.length);
    const outcome = findReference(vision, photo, reference, focals, [
      ...known,
      ...found.filter(({ target }) => target.sides).map(({ seenPx }) => seenPx),
    ]);
    if ('found' in outcome) found.push(outcome.found);
    else missing.push(outcome.missing);
  });
  return { cards, references: found, missing };
}

/**
 * Finds the references in a photo (scale cards unless the options name others) and solves for the camera, the print
 * and the references' places, all in one. Warnings say in words what makes the measurement less sure; errors (no
 * reference, nothing solves, an unusable photo or entry) come as values. `progress` may throw to cancel.
 */
export function capturePhoto(
  vision: Vision,
  photo: Raster,
  options: CaptureOptions,
  progress?: Progress,
): Outcome<Capture, CaptureErrorCode> {
  const problem = optionProblem(options, photo);
  if (problem) return { ok: false, problem };
  const { width, height } = photo;
  if (!(Math.min(width, height) >= SMALLEST_SIDE_PX) || photo.data.length !== width * height * 4) {
    return failure(
      'bad-photo',
      `The picture is only ${width} x ${height} pixels, too coarse to measure. Use the phone's original photo rather than a preview or a screenshot.`,
    );
  }
  const focals = focalPriors(options.facts, width, height);
  const { cards, references, missing } = look(vision, photo, options, focals, progress);
  if (cards.length + references.length === 0) {
    const [first] = missing;
    return first ? failure('no-reference', first.message) : failure('no-card', NO_CARD);
  }
  progress?.('solving for the camera', 0.8);
  const tapes = solveTapes(options.tapes ?? [], cards);
  const isPairAlone =
    cards.length === 0 && references.every(({ reference }) => reference.kind === 'two-points');
  const solved = solveWithoutStrays({
    cards,
    references: references.map(({ target }) => target),
    tapes,
    widthPx: width,
    heightPx: height,
    focals,
    print: printPriors(options.printer, tapes.length > 0),
    // Two points alone do not show the tilt; anything else does, and better.
    ...(isPairAlone && { levelDoubtRad: LEVEL_DOUBT_RAD }),
  });
  if (!solved) return failure('no-solution', references.length > 0 ? NO_FIT : NO_CARD_FIT);
  const isCardAlone =
    cards.length === 0 && references.every(({ reference }) => reference.kind === 'bank-card');
  if (isCardAlone && solved.solution.isFocalUnlikeExif) return failure('no-reference', CARD_UNLIKELY);
  const capture = captureOf(solved, cards, options, references);
  progress?.('looking for cards that could not be read', 0.95);
  const unread = seeksCards(options) ? unreadCards(photo, capture) : [];
  const ofUnread = unread.map((card) => unreadWarning(card, capture.camera));
  progress?.('looking for cards that could not be read', 1);
  return success({
    ...capture,
    ...(unread.length > 0 && { unreadCards: unread }),
    warnings: [...missing, ...capture.warnings, ...ofUnread],
  });
}
