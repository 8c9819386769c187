import { lastRevision } from '../../build/lookups.ts';
import type { Build, FoldAxis, Piece } from '../../build/types.ts';
import { foldLine } from '../../mirror/axis.ts';
import { checkFold } from '../../mirror/check-fold.ts';
import { bench } from '../bench.ts';
import type { StageState } from '../stage-id.ts';
import { foldLimitMm } from './fold-limit.ts';

/** Largest differences already measured; a piece never changes, it is replaced. */
const measured = new WeakMap<Piece, number>();

function largestMm(piece: Piece, axis: FoldAxis, limitMm: number): number {
  const known = measured.get(piece);
  if (known !== undefined) return known;
  // The rail asks dozens of times a second while an end of the axis is dragged: then it waits for the drop.
  if (bench.getState().gestureLabel !== undefined) return 0;
  let largest = Infinity;
  try {
    largest = checkFold(lastRevision(piece).lines, foldLine(axis, axis.rule), limitMm, piece.excused).maxMm;
  } catch {
    // The axis does not pass through the piece.
  }
  measured.set(piece, largest);
  return largest;
}

/** To do until a piece has a fold line; look again when the halves of one differ by more than the limit. */
export function foldCheckState(build: Build): StageState {
  const folded = build.pieces.filter(({ included, axis }) => included && axis);
  if (folded.length === 0) return 'to do';
  const limitMm = foldLimitMm(build);
  const isOver = folded.some((piece) => largestMm(piece, piece.axis!, limitMm) > limitMm);
  return isOver ? 'look again' : 'done';
}
