import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Problem } from '../outcome.ts';
import type { Camera } from './camera.ts';

/** What the photo's own header says; all optional. */
export interface PhotoFacts {
  /** EXIF FocalLengthIn35mmFilm, mm. */
  readonly focalLength35Mm?: number;
  readonly make?: string;
  readonly model?: string;
}

/** Lengths of the card page's check bars as measured with a ruler (true values 150 and 200 mm when unscaled). */
export interface PrinterCheck {
  readonly acrossMm: number;
  readonly alongMm: number;
}

export type SheetName = 'A4' | 'A3' | 'Letter';

/**
 * Something of known size in the photo. `nearPx`, four places near the corners in any order, helps where the shape is
 * not found by itself.
 */
export type Reference =
  | { readonly kind: 'cards' }
  /** ISO/IEC 7810 ID-1, flat on the table. */
  | { readonly kind: 'bank-card'; readonly nearPx?: readonly ImagePoint[] }
  | {
      readonly kind: 'sheet';
      readonly sheet: SheetName;
      /** Its sides as measured by the maker, where they were. */
      readonly measuredMm?: { readonly shortMm: number; readonly longMm: number };
      readonly nearPx?: readonly ImagePoint[];
    }
  /** Two places a known distance apart, in a photo taken from straight above. */
  | {
      readonly kind: 'two-points';
      readonly fromPx: ImagePoint;
      readonly toPx: ImagePoint;
      readonly distanceMm: number;
    };

export type BankCardReference = Extract<Reference, { readonly kind: 'bank-card' }>;

export interface CaptureOptions {
  readonly facts: PhotoFacts;
  /** What to measure by, all of it in one solve; scale cards when left out. */
  readonly references?: readonly Reference[];
  readonly printer?: PrinterCheck;
  /** Thickness of the pieces over the table, mm. */
  readonly thicknessMm: number;
  /** One-sigma doubt of the thickness, mm (0.5 unless measured; 0.05 for paper). */
  readonly thicknessDoubtMm?: number;
  /** A distance measured by tape between two hourglass marks, mm. */
  readonly tapes?: readonly TapeDistance[];
}

/** Hourglass marks are numbered 0..3: top left, top right, bottom right, bottom left of the upright card. */
export interface CardMark {
  readonly cardId: number;
  readonly mark: 0 | 1 | 2 | 3;
}

export interface TapeDistance {
  readonly from: CardMark;
  readonly to: CardMark;
  readonly lengthMm: number;
  /** One-sigma doubt, mm. */
  readonly doubtMm: number;
}

export interface CardFinding {
  readonly id: number;
  /** Card centre on the table, mm, and its turn, rad (counter-clockwise, y up). */
  readonly centre: PlanePoint;
  readonly turnRad: number;
  /** The card's four paper corners in the photo, for drawing. */
  readonly cornersPx: readonly ImagePoint[];
  /** RMS distance between where the card's points are seen and where the solve puts them, mm on the table. */
  readonly residualMm: number;
  readonly points: readonly CardPointFinding[];
  /** False when the robust solve left the card out. */
  readonly used: boolean;
}

export interface CardPointFinding {
  readonly kind: 'hourglass' | 'square-corner';
  readonly seenPx: ImagePoint;
  readonly solvedPx: ImagePoint;
  /** One-sigma noise assumed in the solve, px. */
  readonly sigmaPx: number;
}

/** A reference other than a scale card, as found. */
export interface ReferenceFinding {
  readonly kind: 'bank-card' | 'sheet' | 'two-points';
  readonly sheet?: SheetName;
  /** Its corners (two points: both ends) in the photo as solved, for drawing. */
  readonly cornersPx: readonly ImagePoint[];
  /** RMS distance between what is seen of it and where the solve puts it, mm on the table. */
  readonly residualMm: number;
  /** Sides of a card or sheet as solved, the longer first; the distance of two points. */
  readonly sizeMm: readonly number[];
  /** False when the robust solve left it out. */
  readonly used: boolean;
  /** True of a sheet that the pieces lie on: it is their table, and no piece lies beside it. */
  readonly isUnderPieces: boolean;
}

/** A scale card that lies in the photo but whose square could not be read. It measures nothing, and is no piece. */
export interface UnreadCard {
  /** Its number, where enough of its square shows to tell. */
  readonly id?: number;
  /** Where its paper ends, in the photo's pixels; may lie outside. */
  readonly cornersPx: readonly ImagePoint[];
  /** True when the photo's border cuts its black square. */
  readonly isCutOff: boolean;
}

export type CaptureWarningCode =
  | 'one-card'
  | 'two-cards'
  | 'cards-bunched'
  | 'card-cut-off'
  | 'card-covered'
  | 'card-bent'
  | 'card-other-size'
  | 'card-twice'
  | 'card-left-out'
  | 'card-unread'
  | 'blur'
  | 'glare'
  | 'tilt'
  | 'focal-unlike-exif'
  | 'no-focal'
  | 'print-scale-unmeasured'
  | 'tape-unused'
  | 'tape-disagrees'
  | 'reference-missing'
  | 'one-of-several'
  | 'square-corners'
  | 'side-unclear'
  | 'found-by-shape'
  | 'small-reference'
  | 'sheet-unmeasured'
  | 'straight-above-assumed'
  | 'sheet-curled'
  | 'reference-other-size'
  | 'reference-left-out';

export type CaptureWarning = Problem<CaptureWarningCode> & {
  /** The card it speaks of, when it speaks of one. */
  readonly cardId?: number;
};

export type CaptureErrorCode = 'no-card' | 'no-reference' | 'no-solution' | 'bad-photo' | 'bad-option';

/**
 * The camera over the table with everything needed to say how sure it is. Lengths measured with it carry
 * `toleranceOfLengthMm` (tolerance.ts). Plain data: it crosses the worker door and goes into files.
 */
export interface Capture {
  readonly camera: Camera;
  readonly cards: readonly CardFinding[];
  /** References other than scale cards; left out when there are none. */
  readonly references?: readonly ReferenceFinding[];
  /** Left out when there are none. */
  readonly unreadCards?: readonly UnreadCard[];
  readonly thicknessMm: number;
  readonly thicknessDoubtMm: number;
  /** True size of a printed millimetre along the printed page's x and y. */
  readonly printScale: { readonly across: number; readonly along: number };
  /** Estimated RMS image residual, px. */
  readonly rmsPx: number;
  /** Upper triangle-free full covariance of `parameters`, row by row. */
  readonly covariance: readonly number[];
  /** Names of the solved parameters, in covariance order. */
  readonly parameters: readonly string[];
  readonly warnings: readonly CaptureWarning[];
}
