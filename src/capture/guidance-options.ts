/** What could be done to make a photo surer, each with the capture's doubts as they would then be. */
import type { PlanePoint } from '../geometry/point.ts';
import { type SharedCovariance, withBeliefs, withCard, withLength, withShape } from './belief-update.ts';
import { CARD_CORNERS } from './card.ts';
import { freeSpots } from './guidance-places.ts';
import { farthestTwo, marksOnTable } from './marks-on-table.ts';
import { printPriors } from './priors.ts';
import { BANK_CARD, shapeCorners } from './reference-shapes.ts';
import { referenceName } from './reference-warnings.ts';
import type { Capture, SheetName } from './types.ts';

export type GuidanceAction =
  | 'add-card'
  | 'tape'
  | 'bank-card'
  | 'add-sheet'
  | 'measure-sheet'
  | 'known-distance'
  | 'check-bars'
  | 'measure-thickness';

export interface GuidanceAsked {
  /** True when the check bars of the cards' printer were entered. */
  readonly hasPrinter: boolean;
  /** True when a tape distance was entered. */
  readonly hasTape: boolean;
  /** True when no bank card is to be had, or one lies there that the capture does not know. */
  readonly hasBankCard?: boolean;
  /** True when the sides of the sheet in the photo were entered. */
  readonly hasSheetSides?: boolean;
  /** The paper that is at hand; A4 when left out. */
  readonly sheet?: SheetName;
  /** Ends of the length of interest, mm on the table; the cards' farthest two marks when left out. */
  readonly span?: readonly [PlanePoint, PlanePoint];
  /** Outlines of the pieces, mm on the table, which nothing must cover. */
  readonly pieces?: readonly (readonly PlanePoint[])[];
}

/** What one could do, with the capture's doubts as they then were. */
export interface Option {
  readonly action: GuidanceAction;
  readonly at?: PlanePoint;
  readonly isTurned?: boolean;
  /** Ends of a tape laid on the table, mm. */
  readonly ends?: readonly [PlanePoint, PlanePoint];
  /** "One more card at the left end". */
  readonly words: string;
  readonly done: Capture;
  /** Outline on the table, mm, of what would then lie there. */
  readonly covers?: readonly PlanePoint[];
}

/** A tape is read to about this. */
const TAPE_DOUBT_MM = 0.5;
/** A caliper on foam or card (common practice, no source). */
const CALIPER_DOUBT_MM = 0.1;
/** A quarter turn is asked for when it does this much better than none. */
const TURN_GAIN = 0.95;
/** As in the solve: the stated noise counts as this many measurements. */
const STATED_NOISE_COUNTS = 4;
/** Noise of a card's mark, or of a place on a side, where none is there to tell, px (photos of no great blur). */
export const USUAL_NOISE_PX = 0.15;
/** Unknowns that the points settle: pose and focal length, the rest being held by beliefs. */
const SETTLED_UNKNOWNS = 7;

/** Noise of a mark of a card to come, px: like the cards' that are there, in the size that the residuals show. */
function markNoisePx({ cards }: Capture): number {
  const used = cards.filter(({ used }) => used);
  const points = used.flatMap(({ points }) => points);
  const marks = points.filter(({ kind }) => kind === 'hourglass');
  const stated = marks.length > 0 ? marks : points;
  const sigma = Math.sqrt(
    stated.reduce((sum, { sigmaPx }) => sum + sigmaPx ** 2, 0) / Math.max(1, stated.length),
  );
  const squares = points.reduce(
    (sum, { seenPx, solvedPx, sigmaPx }) =>
      sum + ((seenPx.u - solvedPx.u) ** 2 + (seenPx.v - solvedPx.v) ** 2) / sigmaPx ** 2,
    0,
  );
  const left = Math.max(0, 2 * points.length - 3 * (used.length - 1) - SETTLED_UNKNOWNS);
  return sigma * Math.sqrt((STATED_NOISE_COUNTS + squares) / (STATED_NOISE_COUNTS + left));
}

/** The capture with other doubts. */
export const changed = (capture: Capture, covariance: SharedCovariance): Capture => ({
  ...capture,
  covariance,
});

/** Corners of a shape laid with its middle at a place, its x turned by `turnRad`. */
export function laidCorners(
  corners: readonly PlanePoint[],
  at: PlanePoint,
  turnRad: number,
): readonly PlanePoint[] {
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return corners.map(({ x, y }) => ({ x: at.x + c * x - s * y, y: at.y + s * x + c * y }));
}

/** "the scale cards and the A4 sheet": what the photo is measured by. */
export function measuredBy({ cards, references = [] }: Capture): string {
  const hasCards = cards.some(({ used }) => used);
  const others = references.filter(({ used }) => used).map(referenceName);
  return [...(hasCards ? ['the scale cards'] : []), ...others].join(' and ');
}

/** One more scale card in each free place; `taken` are the outlines that it must not cover. */
export function cardOptions(
  capture: Capture,
  taken: readonly (readonly PlanePoint[])[],
  spanTolerance: (capture: Capture) => number,
): readonly Option[] {
  const first = capture.cards.find(({ used }) => used);
  const sigmaPx = first ? markNoisePx(capture) : USUAL_NOISE_PX;
  const choice = first ? '' : `, and scale cards chosen as a reference beside ${measuredBy(capture)},`;
  return freeSpots(capture, taken).map(({ at, words }): Option => {
    const turnsRad = [0, Math.PI / 2].map((turn) => (first?.turnRad ?? 0) + turn);
    const [straight, turned] = turnsRad.map((turnRad) =>
      changed(capture, withCard(capture, capture.covariance, { ...at, turnRad }, sigmaPx)),
    );
    const isTurned = first && spanTolerance(turned!) < TURN_GAIN * spanTolerance(straight!);
    return {
      action: 'add-card',
      at,
      ...(isTurned !== undefined && { isTurned }),
      words:
        `One ${capture.cards.length > 0 ? 'more' : 'scale'} card ${words}` +
        (isTurned ? `, turned a quarter turn from card ${first.id},` : choice),
      done: isTurned ? turned! : straight!,
      covers: laidCorners(CARD_CORNERS, at, turnsRad[isTurned ? 1 : 0]!),
    };
  });
}

/** A tape between the two marks of scale cards that lie farthest apart. */
export function tapeOption(capture: Capture, { hasPrinter, hasTape }: GuidanceAsked): Option | undefined {
  const ends = farthestTwo(marksOnTable(capture));
  if (!ends || hasTape) return undefined;
  const taped = withLength(capture, capture.covariance, ...ends, TAPE_DOUBT_MM);
  // Beside a tape the solve trusts an unmeasured print less.
  const covariance = hasPrinter
    ? taped
    : withBeliefs(taped, printPriors(undefined, true), printPriors(undefined, false));
  return {
    action: 'tape',
    words: 'A tape laid between the two marks farthest apart, read to half a millimetre,',
    done: changed(capture, covariance),
  };
}

/** A bank card laid in each free place, beside whatever else the photo is measured by. */
export function bankCardOptions(
  capture: Capture,
  { hasBankCard }: GuidanceAsked,
  taken: readonly (readonly PlanePoint[])[],
): readonly Option[] {
  if (hasBankCard || capture.references?.some(({ kind }) => kind === 'bank-card')) return [];
  return freeSpots(capture, taken).map(
    ({ at, words }): Option => ({
      action: 'bank-card',
      at,
      words: `A bank card laid flat ${words}, and chosen as a reference beside ${measuredBy(capture)},`,
      done: changed(
        capture,
        withShape(capture, capture.covariance, BANK_CARD, { ...at, turnRad: 0 }, USUAL_NOISE_PX),
      ),
      covers: laidCorners(shapeCorners(BANK_CARD), at, 0),
    }),
  );
}

/** The check bars of the cards' printer measured, where scale cards are used and nobody did. */
export function barsOption(capture: Capture, { hasPrinter, hasTape }: GuidanceAsked): Option | undefined {
  if (hasPrinter || !capture.cards.some(({ used }) => used)) return undefined;
  const covariance = withBeliefs(
    capture.covariance,
    printPriors({ acrossMm: 150, alongMm: 200 }, hasTape),
    printPriors(undefined, hasTape),
  );
  return {
    action: 'check-bars',
    words: 'Measuring the two check bars of the card page with a ruler',
    done: changed(capture, covariance),
  };
}

/** The pieces' thickness measured to a tenth of a millimetre. */
export function thicknessOption(capture: Capture): Option | undefined {
  if (capture.thicknessDoubtMm <= CALIPER_DOUBT_MM) return undefined;
  return {
    action: 'measure-thickness',
    words: 'Measuring the thickness with a caliper',
    done: { ...capture, thicknessDoubtMm: CALIPER_DOUBT_MM },
  };
}
