import { cutRegion } from '../geometry/cut-by-line.ts';
import { deviationFigures } from '../geometry/deviation.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { mover, offsetFromLineMm, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { FoldLine, Half } from './axis.ts';
import type { FoldFigures } from './fold-figures.ts';
import { findStretches, placeOfLargest } from './fold-stretches.ts';
import { foamAreaMm2 } from './foam-area.ts';
import { type FoldedLine, layLineOn } from './folded-line.ts';
import { type LineMatch, matchLines } from './match-lines.ts';

/** How well the halves of a piece match when folded. Signs: positive where a place lies outside the mirrored other half. */
export interface FoldCheck extends FoldFigures {
  readonly axis: FoldLine;
  /** Lines that lie on one half with nothing like them on the other; they are in none of the figures. */
  readonly unmatchedIds: readonly string[];
}

/**
 * Folds a piece's lines (mm) along `axis` and measures how far each half lies from the other, along every line. The wrap
 * line is left out, since it belongs to the head, not to the design. Throws when there is no line to check or
 * the limit is not above zero.
 */
export function checkFold(lines: readonly PieceLine[], axis: FoldLine, limitMm: number): FoldCheck {
  if (!(limitMm > 0)) throw new RangeError('the limit must be above 0 mm');
  const matches = matchLines(
    lines.filter(({ kind }) => kind !== 'wrap'),
    axis,
  );
  const folded = matches.flatMap((match) => foldMatch(match, axis));
  if (folded.length === 0)
    throw new RangeError('no line crosses the axis or has a partner on the other side');
  const reflect = mover(reflectionAcross(axis));
  const { maxMm, p95Mm, meanMm } = deviationFigures(folded.flatMap(({ samples }) => samples));
  const leftAreaMm2 = foamAreaMm2(lines, (region) => cutRegion(region, axis).left);
  const rightAreaMm2 = foamAreaMm2(lines, (region) => cutRegion(region, axis).right);
  return {
    axis,
    limitMm,
    maxMm,
    maxAt: placeOfLargest(folded, reflect),
    p95Mm,
    meanMm,
    leftAreaMm2,
    rightAreaMm2,
    areaDifferencePct: (200 * Math.abs(leftAreaMm2 - rightAreaMm2)) / (leftAreaMm2 + rightAreaMm2 || 1),
    stretches: findStretches(folded, reflect, limitMm),
    lines: folded,
    unmatchedIds: matches.flatMap((match) => (match.kind === 'single' ? [match.line.id] : [])),
  };
}

function foldMatch(match: LineMatch, axis: StraightLine): FoldedLine[] {
  if (match.kind === 'single') return [];
  const reflection = reflectionAcross(axis);
  const halfOf = (point: PlanePoint): Half => (offsetFromLineMm(axis, point) >= 0 ? 'left' : 'right');
  if (match.kind === 'own') return [layLineOn(match.line, match.line, reflection, halfOf)];
  const { left, right } = match;
  return [layLineOn(left, right, reflection, halfOf), layLineOn(right, left, reflection, halfOf)];
}
