import { cutRegion } from '../geometry/cut-by-line.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { mover, offsetFromLineMm, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { FoldLine, Half } from './axis.ts';
import { type ExcusedStretch, excusedSpans } from './excused.ts';
import type { FoldFigures } from './fold-figures.ts';
import { judgeHalves } from './judge-halves.ts';
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
 * line is left out, since it belongs to the head, not to the design; `excused` stretches are left out of the figures.
 * Throws when there is no line to check or the limit is not above zero.
 */
export function checkFold(
  lines: readonly PieceLine[],
  axis: FoldLine,
  limitMm: number,
  excused: readonly ExcusedStretch[] = [],
): FoldCheck {
  if (!(limitMm > 0)) throw new RangeError('the limit must be above 0 mm');
  const designed = lines.filter(({ kind }) => kind !== 'wrap');
  const matches = matchLines(designed, axis);
  const folded = matches.flatMap((match) => foldMatch(match, axis));
  if (folded.length === 0)
    throw new RangeError('no line crosses the axis or has a partner on the other side');
  const figures = judgeHalves({
    folded,
    lines: designed,
    toTwin: mover(reflectionAcross(axis)),
    limitMm,
    leftAreaMm2: foamAreaMm2(lines, (region) => cutRegion(region, axis).left),
    rightAreaMm2: foamAreaMm2(lines, (region) => cutRegion(region, axis).right),
    spans: excusedSpans(designed, excused),
  });
  return {
    ...figures,
    axis,
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
