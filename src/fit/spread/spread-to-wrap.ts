import type { PieceLine } from '../../geometry/line-kinds.ts';
import { failure, type Outcome, success } from '../../outcome.ts';
import type { WrapLine } from '../wrap-line.ts';
import type { Slash } from './slash.ts';
import { type SpreadErrorCode, type SpreadOptions, type SpreadPiece, spreadPiece } from './spread-piece.ts';

export interface SpreadToWrap {
  readonly spread: SpreadPiece;
  /** The slashes with the openings found. */
  readonly slashes: readonly Slash[];
}

const NEAR_ENOUGH_MM = 1e-4;
const MOST_ROUNDS = 12;

/** The slashes with all openings in the given ratio to each other; equal ones where none is open yet. */
function opened(slashes: readonly Slash[], totalMm: number): Slash[] {
  const sum = slashes.reduce((all, { openingMm }) => all + Math.abs(openingMm), 0);
  return slashes.map((slash) => ({
    ...slash,
    openingMm: totalMm * (sum > 0 ? Math.abs(slash.openingMm) / sum : 1 / slashes.length),
  }));
}

/**
 * Finds how far the slashes must open, keeping the ratio of their openings, for the wrap line to have its wanted length
 * (mm): by the secant method, since a wrap line along the edge does not grow by exactly what is opened.
 */
export function spreadToWrap(
  lines: readonly PieceLine[],
  wrapLine: WrapLine,
  slashes: readonly Slash[],
  wantedMm: number,
  options: SpreadOptions,
): Outcome<SpreadToWrap, SpreadErrorCode | 'wrap-unmoved'> {
  const first = spreadPiece(lines, wrapLine, opened(slashes, 0), options);
  if (!first.ok) return first;
  let [formerMm, formerMisses] = [0, first.value.after.wrapMm - wantedMm];
  let totalMm = -formerMisses;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const tried = opened(slashes, totalMm);
    const spread = spreadPiece(lines, wrapLine, tried, options);
    if (!spread.ok) return spread;
    const misses = spread.value.after.wrapMm - wantedMm;
    if (Math.abs(misses) <= NEAR_ENOUGH_MM) return success({ spread: spread.value, slashes: tried });
    const slope = (misses - formerMisses) / (totalMm - formerMm);
    if (!(Math.abs(slope) > 0.05)) break;
    [formerMm, formerMisses] = [totalMm, misses];
    totalMm -= misses / slope;
  }
  return failure(
    'wrap-unmoved',
    'Opening these lines hardly changes the wrap line, so they cannot bring it to its length. Draw them across the wrap line.',
  );
}
