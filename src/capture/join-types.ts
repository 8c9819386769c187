/** Several photos of one table, joined through the scale cards that they share. */
import type { Problem } from '../outcome.ts';
import type { Capture, CaptureOptions } from './types.ts';

/** A photo that was measured by itself, and what it was measured with. */
export interface PhotoToJoin {
  readonly capture: Capture;
  readonly options: CaptureOptions;
}

/** A card that ties photos together. */
export interface SharedCard {
  readonly cardId: number;
  /** Places in the list of photos. */
  readonly photos: readonly number[];
  /** Farthest apart that two of the photos put the card's centre once all is solved, mm. */
  readonly gapMm: number;
}

export type JoinWarningCode = 'one-shared-card' | 'shared-card-moved';

export type JoinWarning = Problem<JoinWarningCode> & { readonly cardId?: number };

export type JoinErrorCode =
  | 'one-photo'
  | 'no-shared-card'
  | 'shared-cards-moved'
  | 'different-set-ups'
  | 'thickness-differs'
  | 'no-solution';

/** Photos in one frame of the table (that of the first photo's capture). Plain data. */
export interface JoinedPhotos {
  /** A capture for each photo, all in the common frame. */
  readonly captures: readonly Capture[];
  /** Full covariance, row by row: `CAMERA_PARAMETERS` of every photo in turn, then `PRINT_PARAMETERS`. */
  readonly covariance: readonly number[];
  readonly shared: readonly SharedCard[];
  readonly warnings: readonly JoinWarning[];
}
