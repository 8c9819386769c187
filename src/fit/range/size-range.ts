import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { Problem } from '../../outcome.ts';
import { type FitErrorCode, type FitPlan, fitPlan } from '../fit-plan.ts';
import type { FitMode } from '../scale-piece.ts';
import type { WrapNeed } from '../wrap-length.ts';
import type { WrapLine } from '../wrap-line.ts';

/** A head of a size range. */
export interface SizeHead {
  /** "56 cm", or the wearer's name. */
  readonly label: string;
  readonly girthMm: number;
}

/** One size of a piece, or why it cannot be made. */
export interface PieceInSize {
  readonly head: SizeHead;
  readonly plan: FitPlan | undefined;
  readonly problem: Problem<FitErrorCode> | undefined;
}

const MOST_SIZES = 40;

/** Heads from the smallest to the largest girth in steps, mm; the largest one is always among them. */
export function headsInSteps(fromMm: number, toMm: number, stepMm: number): SizeHead[] {
  const [low, high] = [Math.min(fromMm, toMm), Math.max(fromMm, toMm)];
  const count = Math.min(MOST_SIZES, Math.floor((high - low) / stepMm + 1e-9) + 1);
  const girths = Array.from({ length: count }, (_, i) => low + i * stepMm);
  if (high - girths[girths.length - 1]! > 0.5 && girths.length < MOST_SIZES) girths.push(high);
  return girths.map((girthMm) => ({ label: `${Number((girthMm / 10).toFixed(1))} cm`, girthMm }));
}

/**
 * A piece in every size: each fitted to its head by itself, whole or along the wrap, about the middle of its wrap line,
 * so that the sizes lie nested. A size that cannot be made says why and has no plan.
 */
export function piecesInSizes(
  lines: readonly PieceLine[],
  wrapLine: WrapLine,
  need: Omit<WrapNeed, 'girthMm'>,
  heads: readonly SizeHead[],
  mode: FitMode,
): PieceInSize[] {
  return heads.map((head): PieceInSize => {
    const outcome = fitPlan(lines, wrapLine, { ...need, girthMm: head.girthMm }, mode);
    return outcome.ok
      ? { head, plan: outcome.value, problem: undefined }
      : { head, plan: undefined, problem: outcome.problem };
  });
}
