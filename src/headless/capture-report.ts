import { tiltRad } from '../capture/camera.ts';
import { STATED_WORDS, statedTolerance } from '../stated-tolerance.ts';
import { referenceName } from '../capture/reference-warnings.ts';
import { advice } from '../capture/guidance.ts';
import { longestSpan } from '../capture/marks-on-table.ts';
import { worstToleranceMm } from '../capture/tolerance.ts';
import type { Capture, CaptureOptions } from '../capture/types.ts';
import { flattenPath } from '../geometry/measure.ts';
import type { Path } from '../geometry/path.ts';
import { smallestBox } from '../geometry/smallest-box.ts';
import type { TracedEdge, TracedPiece, TraceResult } from '../trace/types.ts';

/** Polylines in capture.json lie this close to the cleaned outline, mm. */
const FLATTENING_MM = 0.01;

type Pair = readonly [number, number];

/** What capture.json holds. Lengths mm, frame of the table: x right, y up. */
export interface CaptureReport {
  readonly pieces: readonly {
    readonly name: string;
    readonly outer: readonly Pair[];
    readonly holes: readonly (readonly Pair[])[];
    /** Length of the outer outline. */
    readonly lengthMm: number;
    /** Without the holes. */
    readonly areaMm2: number;
    /** Of the longest span, in true mm, as stated: it holds 95 times in 100. */
    readonly toleranceMm: number;
    /** The same against anything printed by the printer that made the cards, whose scale cancels. */
    readonly toleranceSamePrinterMm: number;
    readonly movedMaxMm: number;
    readonly movedMeanMm: number;
  }[];
  /** Inner lines of drawn pieces and lines outside them, open and closed; cut pieces have none. */
  readonly lines: readonly { readonly points: readonly Pair[]; readonly closed: boolean }[];
  /** Gaps in drawn lines that were bridged. */
  readonly bridgedGaps?: TraceResult['gaps'];
  readonly camera: Capture['camera'];
  readonly cards: Capture['cards'];
  /** Bank card, sheets and two points, as found; left out when none was asked for. */
  readonly references?: Capture['references'];
  /** Scale cards that could not be read; left out when there are none. */
  readonly unreadCards?: Capture['unreadCards'];
  readonly thicknessMm: number;
  readonly printScale: Capture['printScale'];
  readonly rmsPx: number;
  readonly warnings: readonly { readonly code: string; readonly message: string }[];
  /** What would make the longest piece's length surer, the best first, a sentence each; left out for joined photos. */
  readonly surer?: readonly string[];
  /** Milliseconds by step, without loading the engine. */
  readonly timings: Readonly<Record<string, number>>;
}

const rounded = (value: number, digits = 4) => Number(value.toFixed(digits));

function pairs(path: Path): Pair[] {
  return flattenPath(path, FLATTENING_MM).map(({ x, y }) => [rounded(x), rounded(y)] as const);
}

export const pieceName = (index: number): string => `Piece ${index + 1}`;

export function captureReport(
  capture: Capture,
  trace: TraceResult,
  timings: Readonly<Record<string, number>>,
): CaptureReport {
  return {
    pieces: trace.pieces.map(({ outer, holes, lengthMm, areaMm2, toleranceMm }, index) => ({
      name: pieceName(index),
      outer: pairs(outer.path),
      holes: holes.map(({ path }) => pairs(path)),
      lengthMm: rounded(lengthMm),
      areaMm2: rounded(areaMm2),
      toleranceMm: rounded(statedTolerance(toleranceMm)),
      toleranceSamePrinterMm: rounded(statedTolerance(toleranceSamePrinterMm(capture, outer))),
      movedMaxMm: rounded(outer.movedMaxMm),
      movedMeanMm: rounded(outer.movedMeanMm),
    })),
    lines: [...trace.pieces.flatMap(({ innerLines = [] }) => innerLines), ...(trace.looseLines ?? [])].map(
      ({ path }) => ({ points: pairs(path), closed: path.closed }),
    ),
    ...(trace.gaps && { bridgedGaps: trace.gaps }),
    camera: capture.camera,
    cards: capture.cards,
    ...(capture.references && { references: capture.references }),
    ...(capture.unreadCards && { unreadCards: capture.unreadCards }),
    thicknessMm: capture.thicknessMm,
    printScale: capture.printScale,
    rmsPx: capture.rmsPx,
    warnings: allWarnings(capture, trace),
    timings,
  };
}

function allWarnings({ warnings }: Capture, trace: TraceResult): CaptureReport['warnings'] {
  const ofPieces = trace.pieces.flatMap((piece, index) =>
    piece.warnings.map(({ code, message }) => ({ code, message: `${pieceName(index)}: ${message}` })),
  );
  return [...warnings, ...trace.warnings.map(({ code, message }) => ({ code, message })), ...ofPieces];
}

function toleranceSamePrinterMm(capture: Capture, { measured }: TracedEdge): number {
  return worstToleranceMm(capture, measured, capture.thicknessMm, 'same-printer');
}

/** Coarse enough to be quick, fine enough to say where a card has room. */
const ADVICE_FLATTENING_MM = 1;

/** What would make the longest piece's length surer, a sentence each. */
export function surerSentences(
  capture: Capture,
  { pieces }: TraceResult,
  { printer, references = [] }: Pick<CaptureOptions, 'printer' | 'references'>,
): readonly string[] {
  const outlines = pieces.map(({ outer }) => flattenPath(outer.path, ADVICE_FLATTENING_MM));
  const span = longestSpan(outlines);
  const { single, together } = advice(capture, {
    hasPrinter: printer !== undefined,
    hasTape: false,
    hasSheetSides: references.some((each) => each.kind === 'sheet' && each.measuredMm !== undefined),
    pieces: outlines,
    ...(span && { span }),
  });
  return [...single.map(({ sentence }) => sentence), ...(together ? [together] : [])];
}

/** A few lines for whoever ran the command. */
export function captureSummary(capture: Capture, trace: TraceResult, surer: readonly string[]): string {
  const { camera, cards, references = [] } = capture;
  const used = [...cards, ...references].filter((found) => found.used);
  // Rounded up, so that what is said holds.
  const worst = Math.ceil(Math.max(...used.map(({ residualMm }) => residualMm)) * 100) / 100;
  const tilt = (tiltRad(camera) * 180) / Math.PI;
  return [
    `${countOf(trace.pieces.length, 'piece')}, ${measuredBy(capture)} (within ${worst.toFixed(2)} mm), ` +
      `camera ${camera.centreMm[2].toFixed(0)} mm above the table, tilted ${tilt.toFixed(1)}°`,
    ...trace.pieces.map((piece, index) => `${pieceName(index)}: ${sizeWords(capture, piece)}`),
    `Each ± holds ${STATED_WORDS}`,
    ...allWarnings(capture, trace).map(({ message }) => `Note: ${message}`),
    ...surer.map((sentence) => `Surer: ${sentence}`),
  ].join('\n');
}

/** "4 cards and the bank card". */
function measuredBy({ cards, references = [] }: Capture): string {
  const count = cards.filter(({ used }) => used).length;
  const others = references.filter(({ used }) => used).map(referenceName);
  return [...(count > 0 || others.length === 0 ? [countOf(count, 'card')] : []), ...others].join(' and ');
}

const countOf = (count: number, what: string) => `${count} ${what}${count === 1 ? '' : 's'}`;

function sizeWords(capture: Capture, { outer, holes, lengthMm, areaMm2, toleranceMm }: TracedPiece): string {
  const { longMm, shortMm } = smallestBox(outer.path);
  const hasCards = capture.cards.some(({ used }) => used);
  const openings = holes.length > 0 ? `, ${countOf(holes.length, 'opening')}` : '';
  const [own, samePrinter] = [toleranceMm, toleranceSamePrinterMm(capture, outer)].map(statedTolerance);
  return (
    `${longMm.toFixed(1)} × ${shortMm.toFixed(1)} mm ` +
    `(± ${own!.toFixed(1)} mm${hasCards ? `; ± ${samePrinter!.toFixed(1)} mm against a print from the cards' printer` : ''}), ` +
    `outline ${lengthMm.toFixed(1)} mm, area ${(areaMm2 / 100).toFixed(1)} cm²${openings}`
  );
}
