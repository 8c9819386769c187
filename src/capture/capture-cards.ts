/** The capture stage: one photo with scale cards becomes a camera over the table, with its doubts. */
import { failure, type Outcome, type Progress, success } from '../outcome.ts';
import { findMarkers } from '../vision/markers.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { optionProblem } from './capture-options.ts';
import { CARD_COUNT } from './card.ts';
import { seeCard } from './card-points.ts';
import { solveWithoutStrays } from './misfit.ts';
import { focalPriors, printPriors } from './priors.ts';
import { solveTapes } from './tapes.ts';
import { captureOf } from './solved-capture.ts';
import type { Capture, CaptureErrorCode, CaptureOptions } from './types.ts';

/** Below this no mark is more than a few pixels wide. */
const SMALLEST_SIDE_PX = 480;

/**
 * Finds the scale cards in a photo and solves for the camera, the print and the cards' places. Warnings say in
 * words what makes the measurement less sure; errors (no card, nothing solves, an unusable photo or entry) come
 * as values. `progress` may throw to cancel.
 */
export function captureFromCards(
  vision: Vision,
  photo: Raster,
  options: CaptureOptions,
  progress?: Progress,
): Outcome<Capture, CaptureErrorCode> {
  const problem = optionProblem(options);
  if (problem) return { ok: false, problem };
  const { width, height } = photo;
  if (!(Math.min(width, height) >= SMALLEST_SIDE_PX) || photo.data.length !== width * height * 4) {
    return failure(
      'bad-photo',
      `The picture is only ${width} x ${height} pixels, too coarse to measure. Use the phone's original photo rather than a preview or a screenshot.`,
    );
  }
  progress?.('looking for scale cards', 0);
  const markers = findMarkers(vision, photo, CARD_COUNT);
  progress?.("measuring the cards' marks", 0.5);
  const cards = markers.flatMap((marker) => seeCard(photo, marker) ?? []);
  if (cards.length === 0) {
    return failure(
      'no-card',
      'No scale card was found in the photo, so nothing can be measured. Lay four or more printed scale cards around the piece, ' +
        'each one whole, face up and in even light, and take the photo again.',
    );
  }
  progress?.('solving for the camera', 0.8);
  const tapes = solveTapes(options.tapes ?? [], cards);
  const solved = solveWithoutStrays({
    cards,
    tapes,
    widthPx: width,
    heightPx: height,
    focals: focalPriors(options.facts, width, height),
    print: printPriors(options.printer, tapes.length > 0),
  });
  if (!solved) {
    return failure(
      'no-solution',
      'Scale cards were found, but their marks do not fit flat cards on one table, so nothing can be measured. ' +
        'Lay the cards flat beside the piece and take the photo from above.',
    );
  }
  progress?.('solving for the camera', 1);
  return success(captureOf(solved, cards, options));
}
