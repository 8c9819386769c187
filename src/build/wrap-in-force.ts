/** What a piece has to reach round, and the line that does: kept with the piece, or suggested until the maker keeps it. */
import { likeliestCoverage } from '../fit/coverage.ts';
import { cutLineOf } from '../fit/scale-piece.ts';
import { wrapLengthMm, type WrapNeed } from '../fit/wrap-length.ts';
import { measureWrapMm, suggestWrapLine, type WrapLine } from '../fit/wrap-line.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { chosenWearer, foamOf, lastRevision, underneathMm } from './lookups.ts';
import type { Build, Piece, WrapPlan } from './types.ts';

/** A plan that has its line. */
export interface WrapInForce extends WrapPlan {
  readonly line: WrapLine;
}

/** Wrap lines suggested for lines of a piece, by the axis they were suggested with; lines are replaced, never changed. */
const suggested = new WeakMap<
  readonly PieceLine[],
  { readonly axis: Piece['axis']; readonly line: WrapLine | undefined }
>();

/** The first wrap line for a piece: across its fold axis, or where it is widest. */
function suggestedLine(piece: Pick<Piece, 'axis' | 'revisions'>): WrapLine | undefined {
  const { lines } = lastRevision(piece);
  const known = suggested.get(lines);
  if (known && known.axis === piece.axis) return known.line;
  const outline = cutLineOf(lines);
  const line = outline && suggestWrapLine(outline, piece.axis);
  suggested.set(lines, { axis: piece.axis, line });
  return line;
}

export function needOf(
  build: Build,
  piece: Piece,
  wrap: Pick<WrapPlan, 'coverageRad' | 'easeMm' | 'overFoamId'>,
): WrapNeed {
  const { coverageRad, easeMm } = wrap;
  const { girthMm } = chosenWearer(build);
  return { girthMm, easeMm, coverageRad, foam: foamOf(build, piece), underMm: underneathMm(build, wrap) };
}

/** The plan in force for a piece; undefined for one that has no outline to draw a line on. */
export function wrapInForce(build: Build, piece: Piece): WrapInForce | undefined {
  const line = piece.wrap?.line ?? suggestedLine(piece);
  const outline = cutLineOf(lastRevision(piece).lines);
  if (!line || !outline) return undefined;
  if (piece.wrap) return { ...piece.wrap, line };
  const roundMm = wrapLengthMm(needOf(build, piece, { coverageRad: 2 * Math.PI, easeMm: 0 }));
  const { coverageRad } = likeliestCoverage(measureWrapMm(outline, line), roundMm);
  return { coverageRad, easeMm: 0, line };
}
