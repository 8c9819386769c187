import { widthAcrossMm } from '../geometry/extent.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathAreaMm2, pathLengthMm } from '../geometry/measure.ts';
import type { Path } from '../geometry/path.ts';
import { midpoint } from '../geometry/point.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import { type Stretch, stretcher, stretchLines } from './resize.ts';
import { measureWrapMm, wrapAngleRad, type WrapLine } from './wrap-line.ts';

/** Resize the whole piece alike, or only in the direction that goes round the head. */
export type FitMode = 'whole' | 'along-wrap';

/** Sizes of a piece in the frame of its wrap line. */
export interface PieceSizes {
  readonly wrapMm: number;
  /** Length of the cut line, mm. */
  readonly outlineMm: number;
  /** Extent in the direction of the wrap line and at right angles to it, mm. */
  readonly alongMm: number;
  readonly acrossMm: number;
  /** Area inside the cut line, less the cut-outs, mm2. */
  readonly areaMm2: number;
}

export interface ScaledPiece {
  readonly before: PieceSizes;
  readonly after: PieceSizes;
  readonly lines: readonly PieceLine[];
  readonly wrapLine: WrapLine;
  /** Largest stretch or squeeze of any stretch of line, as a share (0.05 = 5 %). */
  readonly largestStretch: number;
}

/** Beyond these the piece is another piece, or a measure is wrong. */
export const SMALLEST_FACTOR = 0.5;
export const LARGEST_FACTOR = 2;

/** The cut line of a piece, or undefined. */
export function cutLineOf(lines: readonly PieceLine[]): Path | undefined {
  return lines.find(({ kind, path }) => kind === 'cut' && path.closed)?.path;
}

/** Sizes of a piece whose cut line and wrap line are given, mm. */
export function sizesOf(lines: readonly PieceLine[], outline: Path, wrapLine: WrapLine): PieceSizes {
  const alongRad = wrapAngleRad(wrapLine);
  const openings = lines.filter(({ kind, path }) => kind === 'cutout' && path.closed);
  return {
    wrapMm: measureWrapMm(outline, wrapLine),
    outlineMm: pathLengthMm(outline),
    alongMm: widthAcrossMm(outline, alongRad + Math.PI / 2),
    acrossMm: widthAcrossMm(outline, alongRad),
    areaMm2: openings.reduce(
      (area, { path }) => area - Math.abs(pathAreaMm2(path)),
      Math.abs(pathAreaMm2(outline)),
    ),
  };
}

/** The stretch by `factor` about the middle of the wrap line: all ways alike, or along the wrap line's chord only. */
export function stretchOf(mode: FitMode, wrapLine: WrapLine, factor: number): Stretch {
  return {
    about: midpoint(wrapLine.from, wrapLine.to),
    alongRad: wrapAngleRad(wrapLine),
    alongFactor: factor,
    acrossFactor: mode === 'whole' ? factor : 1,
  };
}

export function movedWrapLine(wrapLine: WrapLine, stretch: Stretch): WrapLine {
  const move = stretcher(stretch);
  return { ...wrapLine, from: move(wrapLine.from), to: move(wrapLine.to) };
}

/**
 * A piece (lines in mm) resized by a factor, with its sizes before and after. Cubics stay cubics and joints what they
 * were, since the map is affine. Factors below 0.5 or above 2 are refused.
 */
export function scalePiece(
  lines: readonly PieceLine[],
  wrapLine: WrapLine,
  mode: FitMode,
  factor: number,
): Outcome<ScaledPiece, 'no-outline' | 'absurd-resize'> {
  const outline = cutLineOf(lines);
  if (!outline) {
    return failure(
      'no-outline',
      'This piece has no closed cut line, so there is nothing to resize. Trace it first.',
    );
  }
  const before = sizesOf(lines, outline, wrapLine);
  if (!(factor >= SMALLEST_FACTOR && factor <= LARGEST_FACTOR)) {
    return failure(
      'absurd-resize',
      `The wrap line is ${before.wrapMm.toFixed(0)} mm long, and the piece would have to be made ${factor.toFixed(2)} times as large: another piece, not another size. Check the coverage, the wrap line and the girth.`,
    );
  }
  const stretch = stretchOf(mode, wrapLine, factor);
  const resized = stretchLines(lines, stretch);
  const newWrapLine = movedWrapLine(wrapLine, stretch);
  return success({
    before,
    after: sizesOf(resized, cutLineOf(resized)!, newWrapLine),
    lines: resized,
    wrapLine: newWrapLine,
    // Along the wrap a line that runs across it keeps its length; one that runs along it changes by the whole factor.
    largestStretch: Math.max(factor, 1 / factor) - 1,
  });
}
