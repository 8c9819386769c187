import type { PieceLine } from '../geometry/line-kinds.ts';
import { mapPath, type Path } from '../geometry/path.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import { fitNotes } from './fit-notes.ts';
import type { Hold } from './holding.ts';
import { girthSense } from './girth-sense.ts';
import { stretcher } from './resize.ts';
import {
  cutLineOf,
  type FitMode,
  LARGEST_FACTOR,
  movedWrapLine,
  type ScaledPiece,
  scalePiece,
  SMALLEST_FACTOR,
  stretchOf,
} from './scale-piece.ts';
import { wrapLengthMm, type WrapNeed } from './wrap-length.ts';
import { measureWrapMm, type WrapLine } from './wrap-line.ts';

export type FitErrorCode = 'no-outline' | 'bad-measure' | 'no-wrap-line' | 'absurd-resize';

export interface FitPlan extends ScaledPiece {
  readonly wantedWrapMm: number;
  /** Wanted less what the pattern has, mm. */
  readonly differenceMm: number;
  readonly factor: number;
  /** What the maker should know, in sentences. */
  readonly notes: readonly string[];
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

function measureTrouble({ girthMm, easeMm, coverageRad, foam, underMm = 0 }: WrapNeed): string | undefined {
  const girth = girthSense(girthMm);
  if (girth.kind === 'unusable') return girth.message;
  if (!(coverageRad > 0 && coverageRad <= 2 * Math.PI + 1e-9))
    return 'The piece must cover more than nothing and at most once round the head. Set its coverage between 1 and 360 degrees.';
  if (!(foam.thicknessMm > 0 && foam.thicknessMm <= 60) || !(foam.neutralK >= 0 && foam.neutralK <= 1))
    return 'The foam must be between 0 and 60 mm thick, with its neutral surface between 0 and 1 of that. Check the foam before fitting.';
  if (!(Math.abs(easeMm) <= 150))
    return 'An ease of more than 150 mm either way is no fit. Enter the slack wanted round the whole head, in mm.';
  if (!(underMm >= 0 && underMm <= 200))
    return 'Liner, padding and the layers underneath must come to between 0 and 200 mm. Check their thicknesses before fitting.';
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
  hold?: Hold,
): Outcome<FitPlan, FitErrorCode> {
  const outline = cutLineOf(lines);
  if (!outline)
    return failure(
      'no-outline',
      'This piece has no closed cut line, so there is nothing to fit. Trace it first.',
    );
  const trouble = measureTrouble(need);
  if (trouble) return failure('bad-measure', trouble);
  const patternWrapMm = measureWrapMm(outline, wrapLine);
  if (!(patternWrapMm >= 1))
    return failure(
      'no-wrap-line',
      'The wrap line has no length, so the piece cannot be compared with the head. Draw its two ends apart.',
    );

  const wantedWrapMm = wrapLengthMm(need);
  const factor = factorFor(outline, wrapLine, mode, wantedWrapMm);
  const scaled = scalePiece(lines, wrapLine, mode, factor);
  if (!scaled.ok) return scaled;
  return success({
    ...scaled.value,
    wantedWrapMm,
    differenceMm: wantedWrapMm - patternWrapMm,
    factor,
    notes: fitNotes(need, factor, hold),
  });
}
