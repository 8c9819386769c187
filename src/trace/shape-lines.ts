import type { EditOutcome, JointPick, NewId } from '../geometry/edit/edited.ts';
import { type OffsetChoice, offsetPieceLine } from '../geometry/edit/line-verbs.ts';
import { fairPicked } from '../geometry/edit/stretch-verbs.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { cleanPicked } from './clean-stretch.ts';

/** A verb of the editor that takes too long for the main thread, as plain data; lengths in mm. */
export type ShapeVerb =
  | { readonly verb: 'even-out'; readonly picks: readonly JointPick[]; readonly limitMm: number }
  | { readonly verb: 'clean'; readonly picks: readonly JointPick[]; readonly toleranceMm: number }
  | { readonly verb: 'offset'; readonly lineId: string; readonly choice: OffsetChoice };

/** Does the verb on a piece's lines. */
export function shapeLines(lines: readonly PieceLine[], shape: ShapeVerb, newId: NewId): EditOutcome {
  switch (shape.verb) {
    case 'even-out':
      return fairPicked(lines, shape.picks, shape.limitMm);
    case 'clean':
      return cleanPicked(lines, shape.picks, shape.toleranceMm);
    case 'offset':
      return offsetPieceLine(lines, shape.lineId, shape.choice, newId);
  }
}
