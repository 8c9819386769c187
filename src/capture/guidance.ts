/** What would make a capture's lengths surer, worked out before anybody does it. */
import type { PlanePoint } from '../geometry/point.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import {
  bankCardOptions,
  barsOption,
  cardOptions,
  type GuidanceAction,
  type GuidanceAsked,
  type Option,
  tapeOption,
  thicknessOption,
} from './guidance-options.ts';
import {
  knownDistanceOptions,
  measureSheetOption,
  referenceOutlines,
  sheetOptions,
} from './guidance-without-cards.ts';
import { farthestTwo, marksOnTable } from './marks-on-table.ts';
import { statedTolerance } from '../stated-tolerance.ts';
import { toleranceOfLengthMm } from './tolerance.ts';
import type { Capture } from './types.ts';

export interface Guidance {
  readonly action: GuidanceAction;
  /** Where the middle of the card or sheet would lie, mm on the table. */
  readonly at?: PlanePoint;
  /** True of a card that does more when turned by a quarter turn from the first one, and of a sheet laid upright. */
  readonly isTurned?: boolean;
  /** Ends of a tape laid on the table whose distance is read off it, mm. */
  readonly ends?: readonly [PlanePoint, PlanePoint];
  /** Outline on the table, mm, of a card or sheet that would lie there. */
  readonly covers?: readonly PlanePoint[];
  /** One-sigma tolerance of the length of interest, mm, as it is and as it would be. */
  readonly toleranceMm: { readonly before: number; readonly after: number };
  readonly sentence: string;
}

/** Advice that gains less than this share is none. */
const WORTH_SAYING = 0.9;

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

/** Everything that could be done where `laid` is on the table besides, with the tolerance that it would leave, the best first. */
function rankedOptions(
  capture: Capture,
  asked: GuidanceAsked,
  tolerance: (then: Capture) => number,
  laid: readonly (readonly PlanePoint[])[] = [],
) {
  const { pieces = [] } = asked;
  const table = { pieces, references: [...referenceOutlines(capture), ...laid] };
  const taken = [...table.pieces, ...table.references];
  // Among scale cards a tape between their marks says more than two points, and a sheet little.
  const hasCards = capture.cards.some(({ used }) => used);
  return [
    ...cardOptions(capture, taken, tolerance),
    tapeOption(capture, asked),
    ...bankCardOptions(capture, asked, taken),
    ...(hasCards ? [] : sheetOptions(capture, asked, table)),
    ...(hasCards ? [] : knownDistanceOptions(capture, table)),
    measureSheetOption(capture, asked),
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
      ({ action, at, isTurned, ends, covers, words, after }): Guidance => ({
        action,
        ...(at && { at }),
        ...(isTurned !== undefined && { isTurned }),
        ...(ends && { ends }),
        ...(covers && { covers }),
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
    // Nothing is laid where an earlier step lies, and but for cards nothing is done twice.
    const laid = steps.flatMap(({ covers }) => (covers ? [covers] : []));
    const [best] = rankedOptions(now, then, tolerance, laid).filter(
      ({ action }) => action === 'add-card' || steps.every((step) => step.action !== action),
    );
    if (!best || best.after >= WORTH_SAYING * tolerance(now)) return undefined;
    steps.push(best);
    now = best.done;
    then = {
      ...then,
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

/** What a person is told, in a screen or a report. */
export interface Advice {
  /** One piece of advice per action, the best first; no more than are read. */
  readonly single: readonly Guidance[];
  /** How several steps together halve the tolerance, where one alone does not. */
  readonly together: string | undefined;
  /** What would help most of all that is laid in the photo: among scale cards one more of them. */
  readonly laid: Guidance | undefined;
}

/** More advice than this is not read. */
const MOST_ADVICE = 3;

/** The few things worth telling of all that could be done. */
export function advice(capture: Capture, asked: GuidanceAsked): Advice {
  const found = guidance(capture, asked);
  const halved = halving(capture, asked);
  const hasCards = capture.cards.some(({ used }) => used);
  return {
    single: found
      .filter(({ action }, k) => found.findIndex((other) => other.action === action) === k)
      .slice(0, MOST_ADVICE),
    together: halved && halved.actions.length > 1 ? halved.sentence : undefined,
    laid: found.find(({ action, covers }) => (hasCards ? action === 'add-card' : covers)),
  };
}
