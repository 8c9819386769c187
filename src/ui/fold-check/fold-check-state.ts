import { lastRevision } from '../../build/lookups.ts';
import type { Build, FoldAxis } from '../../build/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { foldLine } from '../../mirror/axis.ts';
import { checkFold } from '../../mirror/check-fold.ts';
import { bench } from '../bench.ts';
import type { StageState } from '../stage-id.ts';
import { foldLimitMm } from './fold-limit.ts';

/** Largest differences already measured, by the axis and lines they were measured with; neither ever changes. */
const measured = new WeakMap<FoldAxis, WeakMap<object, number>>();

function largestMm(axis: FoldAxis, lines: readonly PieceLine[], limitMm: number): number {
  const known = measured.get(axis)?.get(lines);
  if (known !== undefined) return known;
  // The rail asks dozens of times a second while an end of the axis is dragged: then it waits for the drop.
  if (bench.getState().gestureLabel !== undefined) return 0;
  let largest = Infinity;
  try {
    largest = checkFold(lines, foldLine(axis, axis.rule), limitMm).maxMm;
  } catch {
    // The axis does not pass through the piece.
  }
  const byLines = measured.get(axis) ?? new WeakMap<object, number>();
  measured.set(axis, byLines.set(lines, largest));
  return largest;
}

/** To do until a piece has a fold line; look again when the halves of one differ by more than the limit. */
export function foldCheckState(build: Build): StageState {
  const folded = build.pieces.filter(({ included, axis }) => included && axis);
  if (folded.length === 0) return 'to do';
  const limitMm = foldLimitMm(build);
  const isOver = folded.some((piece) => largestMm(piece.axis!, lastRevision(piece).lines, limitMm) > limitMm);
  return isOver ? 'look again' : 'done';
}
