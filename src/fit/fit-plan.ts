import type { PieceLine } from '../geometry/line-kinds.ts';
import { widthAcrossMm } from '../geometry/extent.ts';
import { pathAreaMm2 } from '../geometry/measure.ts';
import { mapPath, type Path } from '../geometry/path.ts';
import { midpoint } from '../geometry/point.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import { fitNotes } from './fit-notes.ts';
import { girthSense } from './girth-sense.ts';
import { type Stretch, stretcher, stretchLines } from './resize.ts';
import { wrapLengthMm, type WrapNeed } from './wrap-length.ts';
import { measureWrapMm, wrapAngleRad, type WrapLine } from './wrap-line.ts';

export type FitErrorCode = 'no-outline' | 'bad-measure' | 'no-wrap-line' | 'absurd-resize';

/** Resize the whole piece alike, or only in the direction that goes round the head. */
export type FitMode = 'whole' | 'along-wrap';

/** Sizes of a piece in the frame of its wrap line. */
export interface PieceSizes {
  readonly wrapMm: number;
  /** Extent in the direction of the wrap line and at right angles to it, mm. */
  readonly alongMm: number;
  readonly acrossMm: number;
  /** Area inside the cut line, less the cut-outs, mm2. */
  readonly areaMm2: number;
}

export interface FitPlan {
  readonly wantedWrapMm: number;
  /** Wanted less what the pattern has, mm. */
  readonly differenceMm: number;
  readonly factor: number;
  /** Largest stretch or squeeze of any stretch of line, as a share (0.05 = 5 %). */
  readonly largestStretch: number;
  readonly before: PieceSizes;
  readonly after: PieceSizes;
  readonly lines: readonly PieceLine[];
  readonly wrapLine: WrapLine;
  /** What the maker should know, in sentences. */
  readonly notes: readonly string[];
}

/** Beyond these the piece is another piece, or a measure is wrong. */
const SMALLEST_FACTOR = 0.5;
const LARGEST_FACTOR = 2;

/** The cut line of a piece, or undefined. */
export function cutLineOf(lines: readonly PieceLine[]): Path | undefined {
  return lines.find(({ kind, path }) => kind === 'cut' && path.closed)?.path;
}

function sizesOf(lines: readonly PieceLine[], outline: Path, wrapLine: WrapLine): PieceSizes {
  const alongRad = wrapAngleRad(wrapLine);
  const openings = lines.filter(({ kind, path }) => kind === 'cutout' && path.closed);
  return {
    wrapMm: measureWrapMm(outline, wrapLine),
    alongMm: widthAcrossMm(outline, alongRad + Math.PI / 2),
    acrossMm: widthAcrossMm(outline, alongRad),
    areaMm2: openings.reduce(
      (area, { path }) => area - Math.abs(pathAreaMm2(path)),
      Math.abs(pathAreaMm2(outline)),
    ),
  };
}

function stretchOf(mode: FitMode, wrapLine: WrapLine, factor: number): Stretch {
  return {
    about: midpoint(wrapLine.from, wrapLine.to),
    alongRad: wrapAngleRad(wrapLine),
    alongFactor: factor,
    acrossFactor: mode === 'whole' ? factor : 1,
  };
}

function movedWrapLine(wrapLine: WrapLine, stretch: Stretch): WrapLine {
  const move = stretcher(stretch);
  return { ...wrapLine, from: move(wrapLine.from), to: move(wrapLine.to) };
}

/**
 * The factor that gives the wrap line its wanted length. A straight line follows the factor; along a curved
 * edge, stretched one way only, the length grows more slowly, so it is found by halving (it grows all the way).
 */
function factorFor(outline: Path, wrapLine: WrapLine, mode: FitMode, wantedMm: number): number {
  const simple = wantedMm / measureWrapMm(outline, wrapLine);
  if (mode === 'whole' || wrapLine.along === 'straight') return simple;
  let [low, high] = [SMALLEST_FACTOR / 2, LARGEST_FACTOR * 2];
  for (let i = 0; i < 60; i++) {
    const factor = (low + high) / 2;
    const stretch = stretchOf(mode, wrapLine, factor);
    const length = measureWrapMm(mapPath(outline, stretcher(stretch)), movedWrapLine(wrapLine, stretch));
    if (length < wantedMm) low = factor;
    else high = factor;
  }
  return (low + high) / 2;
}

function measureTrouble({ girthMm, easeMm, coverageRad, foam }: WrapNeed): string | undefined {
  const girth = girthSense(girthMm);
  if (girth.kind === 'unusable') return girth.message;
  if (!(coverageRad > 0 && coverageRad <= 2 * Math.PI + 1e-9))
    return 'The piece must cover more than nothing and at most once round the head. Set its coverage between 1 and 360 degrees.';
  if (!(foam.thicknessMm > 0 && foam.thicknessMm <= 50) || !(foam.neutralK >= 0 && foam.neutralK <= 1))
    return 'The foam must be between 0 and 50 mm thick, with its neutral surface between 0 and 1 of that. Check the foam before fitting.';
  if (!(Math.abs(easeMm) <= 150))
    return 'An ease of more than 150 mm either way is no fit. Enter the slack wanted round the whole head, in mm.';
  return undefined;
}

/**
 * Fits a piece to a head: the wrap length wanted, what the pattern has, and the piece resized so that its wrap
 * line is exactly as long as wanted. Lines in mm; nothing of the input is changed.
 */
export function fitPlan(
  lines: readonly PieceLine[],
  wrapLine: WrapLine,
  need: WrapNeed,
  mode: FitMode,
): Outcome<FitPlan, FitErrorCode> {
  const outline = cutLineOf(lines);
  if (!outline)
    return failure(
      'no-outline',
      'This piece has no closed cut line, so there is nothing to fit. Trace it first.',
    );
  const trouble = measureTrouble(need);
  if (trouble) return failure('bad-measure', trouble);
  const before = sizesOf(lines, outline, wrapLine);
  if (!(before.wrapMm >= 1))
    return failure(
      'no-wrap-line',
      'The wrap line has no length, so the piece cannot be compared with the head. Draw its two ends apart.',
    );

  const wantedWrapMm = wrapLengthMm(need);
  const factor = factorFor(outline, wrapLine, mode, wantedWrapMm);
  if (!(factor >= SMALLEST_FACTOR && factor <= LARGEST_FACTOR)) {
    return failure(
      'absurd-resize',
      `The wrap line is ${before.wrapMm.toFixed(0)} mm long and ${wantedWrapMm.toFixed(0)} mm are wanted: resizing that far would make another piece of it. Check the coverage, the wrap line and the girth.`,
    );
  }
  const stretch = stretchOf(mode, wrapLine, factor);
  const resized = stretchLines(lines, stretch);
  const newWrapLine = movedWrapLine(wrapLine, stretch);
  return success({
    wantedWrapMm,
    differenceMm: wantedWrapMm - before.wrapMm,
    factor,
    largestStretch: Math.max(factor, 1 / factor) - 1,
    before,
    after: sizesOf(resized, cutLineOf(resized)!, newWrapLine),
    lines: resized,
    wrapLine: newWrapLine,
    notes: fitNotes(need, factor),
  });
}
