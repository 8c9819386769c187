/** What would make a capture's lengths surer, worked out before anybody does it. */
import type { PlanePoint } from '../geometry/point.ts';
import { type SharedCovariance, withBeliefs, withCard, withLength } from './belief-update.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import { freeSpots } from './guidance-places.ts';
import { farthestTwo, marksOnTable } from './marks-on-table.ts';
import { printPriors } from './priors.ts';
import { BANK_CARD } from './reference-shapes.ts';
import { statedTolerance } from '../stated-tolerance.ts';
import { toleranceOfLengthMm } from './tolerance.ts';
import type { Capture } from './types.ts';

export type GuidanceAction = 'add-card' | 'tape' | 'bank-card' | 'check-bars' | 'measure-thickness';

export interface Guidance {
  readonly action: GuidanceAction;
  /** Where the card would lie, mm on the table. */
  readonly at?: PlanePoint;
  /** True of a card that does more when turned by a quarter turn from the first one. */
  readonly isTurned?: boolean;
  /** One-sigma tolerance of the length of interest, mm, as it is and as it would be. */
  readonly toleranceMm: { readonly before: number; readonly after: number };
  readonly sentence: string;
}

export interface GuidanceAsked {
  /** True when the check bars of the cards' printer were entered. */
  readonly hasPrinter: boolean;
  /** True when a tape distance was entered. */
  readonly hasTape: boolean;
  /** True when no bank card is to be had, or one lies there that the capture does not know. */
  readonly hasBankCard?: boolean;
  /** Ends of the length of interest, mm on the table; the cards' farthest two marks when left out. */
  readonly span?: readonly [PlanePoint, PlanePoint];
  /** Outlines of the pieces, mm on the table, which a card must not cover. */
  readonly pieces?: readonly (readonly PlanePoint[])[];
}

/** A tape is read to about this. */
const TAPE_DOUBT_MM = 0.5;
/** A caliper on foam or card (common practice, no source). */
const CALIPER_DOUBT_MM = 0.1;
/** Advice that gains less than this share is none. */
const WORTH_SAYING = 0.9;
/** A quarter turn is asked for when it does this much better than none. */
const TURN_GAIN = 0.95;
/** As in the solve: the stated noise counts as this many measurements. */
const STATED_NOISE_COUNTS = 4;
/** Noise of a card's mark where none is there to tell, px (saddles on photos of no great blur). */
const USUAL_NOISE_PX = 0.15;
/** Unknowns that the points settle: pose and focal length, the rest being held by beliefs. */
const SETTLED_UNKNOWNS = 7;

/** What one could do, with the capture's doubts as they then were. */
interface Option {
  readonly action: GuidanceAction;
  readonly at?: PlanePoint;
  readonly isTurned?: boolean;
  /** "One more card at the left end". */
  readonly words: string;
  readonly done: Capture;
}

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

const changed = (capture: Capture, covariance: SharedCovariance): Capture => ({ ...capture, covariance });

function cardOptions(capture: Capture, asked: GuidanceAsked, spanTolerance: (capture: Capture) => number) {
  const first = capture.cards.find(({ used }) => used);
  const sigmaPx = first ? markNoisePx(capture) : USUAL_NOISE_PX;
  return freeSpots(capture, asked.pieces ?? []).map(({ at, words }): Option => {
    const [straight, turned] = [0, Math.PI / 2].map((turn) =>
      changed(
        capture,
        withCard(capture, capture.covariance, { ...at, turnRad: (first?.turnRad ?? 0) + turn }, sigmaPx),
      ),
    );
    const isTurned = first && spanTolerance(turned!) < TURN_GAIN * spanTolerance(straight!);
    return {
      action: 'add-card',
      at,
      ...(isTurned !== undefined && { isTurned }),
      words: `One ${first ? 'more' : 'scale'} card ${words}${isTurned ? `, turned a quarter turn from card ${first.id},` : ''}`,
      done: isTurned ? turned! : straight!,
    };
  });
}

function tapeOption(capture: Capture, { hasPrinter, hasTape }: GuidanceAsked): Option | undefined {
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

/**
 * A bank card among the scale cards: its two sizes, each between two sides in doubt. What its turned sides tell of the
 * camera is left out, beside the cards it is little.
 */
function bankCardOptions(capture: Capture, { pieces = [], hasBankCard }: GuidanceAsked): Option[] {
  const isThere = hasBankCard || capture.references?.some(({ kind }) => kind === 'bank-card');
  if (isThere || !capture.cards.some(({ used }) => used)) return [];
  const doubtMm = Math.SQRT2 * BANK_CARD.shiftDoubtMm;
  return freeSpots(capture, pieces).map(({ at, words }): Option => {
    const across = [-0.5, 0.5].map((share) => ({ x: at.x + share * BANK_CARD.widthMm, y: at.y }));
    const along = [-0.5, 0.5].map((share) => ({ x: at.x, y: at.y + share * BANK_CARD.heightMm }));
    const long = withLength(capture, capture.covariance, across[0]!, across[1]!, doubtMm);
    return {
      action: 'bank-card',
      at,
      words: `A bank card laid flat ${words}, and chosen as a reference beside the scale cards,`,
      done: changed(capture, withLength(capture, long, along[0]!, along[1]!, doubtMm)),
    };
  });
}

function barsOption(capture: Capture, { hasPrinter, hasTape }: GuidanceAsked): Option | undefined {
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

function thicknessOption(capture: Capture): Option | undefined {
  if (capture.thicknessDoubtMm <= CALIPER_DOUBT_MM) return undefined;
  return {
    action: 'measure-thickness',
    words: 'Measuring the thickness with a caliper',
    done: { ...capture, thicknessDoubtMm: CALIPER_DOUBT_MM },
  };
}

const millimetres = (mm: number, digits: number): string =>
  `± ${Math.max(mm, 10 ** -digits).toFixed(digits)} mm`;

function sentenceOf(words: string, beforeMm: number, afterMm: number): string {
  const [before, after] = [statedTolerance(beforeMm), statedTolerance(afterMm)];
  const digits = before < 1 || after < 0.1 ? 2 : 1;
  return `${words} would bring ${millimetres(before, digits)} down to ${millimetres(after, digits)}.`;
}

/** The length of interest's tolerance under a capture's doubts; undefined where there is no such length. */
function toleranceAsked(capture: Capture, { span }: GuidanceAsked): ((then: Capture) => number) | undefined {
  const ends = span ?? farthestTwo(marksOnTable(capture));
  // Between marks the cards' own height counts; anything else lies on the pieces' face.
  return (
    ends && ((then) => toleranceOfLengthMm(then, ...ends, span ? then.thicknessMm : CARD_FACE_HEIGHT_MM))
  );
}

/** Everything that could be done, with the tolerance that it would leave, the best first. */
function rankedOptions(capture: Capture, asked: GuidanceAsked, tolerance: (then: Capture) => number) {
  return [
    ...cardOptions(capture, asked, tolerance),
    tapeOption(capture, asked),
    ...bankCardOptions(capture, asked),
    barsOption(capture, asked),
    asked.span && thicknessOption(capture),
  ]
    .flatMap((option) => (option ? [{ ...option, after: tolerance(option.done) }] : []))
    .sort((a, b) => a.after - b.after);
}

/**
 * What would make the length of interest surer, the best first; empty when nothing gains a tenth. Each is worked
 * out from the capture's own covariance, as the solve would with that card, tape, bar or thickness there; whoever
 * does it gets the stated tolerance as far as the new card is seen as well as the others.
 */
export function guidance(capture: Capture, asked: GuidanceAsked): readonly Guidance[] {
  const tolerance = toleranceAsked(capture, asked);
  if (!tolerance) return [];
  const before = tolerance(capture);
  return rankedOptions(capture, asked, tolerance)
    .filter(({ after }) => after < WORTH_SAYING * before)
    .map(
      ({ action, at, isTurned, words, after }): Guidance => ({
        action,
        ...(at && { at }),
        ...(isTurned !== undefined && { isTurned }),
        toleranceMm: { before, after },
        sentence: sentenceOf(words, before, after),
      }),
    );
}

/** Several things done one after the other. */
export interface Halving {
  readonly actions: readonly GuidanceAction[];
  readonly toleranceMm: { readonly before: number; readonly after: number };
  readonly sentence: string;
}

/** More than this at once nobody does. */
const MOST_STEPS = 3;

/** The card of an option as one that lies there, so that the next one is not laid on it. */
function withCardLaid({ done, at }: Option): Capture {
  if (!at) return done;
  const laid = { id: -1, centre: at, turnRad: 0, cornersPx: [], residualMm: 0, points: [], used: false };
  return { ...done, cards: [...done.cards, laid] };
}

/**
 * The shortest way found to halve the tolerance of the length of interest: the best step, then the best after it, up
 * to three. Undefined where that does not halve it (paper and thickness leave a rest that no measuring removes).
 */
export function halving(capture: Capture, asked: GuidanceAsked): Halving | undefined {
  const tolerance = toleranceAsked(capture, asked);
  if (!tolerance) return undefined;
  const before = tolerance(capture);
  // The length stays the one that was asked for when cards come and go.
  let [now, then] = [capture, asked];
  const steps: Option[] = [];
  while (steps.length < MOST_STEPS) {
    const [best] = rankedOptions(now, then, tolerance);
    if (!best || best.after >= WORTH_SAYING * tolerance(now)) return undefined;
    steps.push(best);
    now = withCardLaid(best);
    then = {
      ...then,
      hasBankCard: then.hasBankCard || best.action === 'bank-card',
      hasTape: then.hasTape || best.action === 'tape',
      hasPrinter: then.hasPrinter || best.action === 'check-bars',
    };
    if (best.after <= before / 2) {
      return {
        actions: steps.map(({ action }) => action),
        toleranceMm: { before, after: best.after },
        sentence: sentenceOf(listed(steps.map(({ words }) => words.replace(/,$/u, ''))), before, best.after),
      };
    }
  }
  return undefined;
}

/** "A; then b; then c, together,". */
function listed(words: readonly string[]): string {
  const later = words.slice(1).map((each) => each.charAt(0).toLowerCase() + each.slice(1));
  return [words[0]!, ...later].join('; then ') + (words.length > 1 ? ', together,' : '');
}
