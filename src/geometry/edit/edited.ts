import { failure, type Outcome, success } from '../../outcome.ts';
import type { PieceLine } from '../line-kinds.ts';
import type { Path } from '../path.ts';
import type { Move } from './stretch.ts';

/** A joint of one of a piece's lines. */
export interface JointPick {
  readonly lineId: string;
  readonly joint: number;
}

/** What a verb makes of a piece's lines, with what is picked afterwards. */
export interface Edited {
  readonly lines: readonly PieceLine[];
  readonly picks: readonly JointPick[];
  /** How far the line moved at most, where the verb is one that should not move it. */
  readonly moved?: Move;
  /** What else the maker should know, as a sentence. */
  readonly note?: string;
}

export type EditProblem =
  | 'nothing-picked'
  | 'no-ends'
  | 'keeps-its-sense'
  | 'no-corner'
  | 'no-room'
  | 'nothing-left'
  | 'folds-over'
  | 'not-one-stretch'
  | 'no-outline'
  | 'stands-alone'
  | 'nothing-touched'
  | 'lines-cross';

export type EditOutcome = Outcome<Edited, EditProblem>;

/** Ids for the lines that a verb makes. */
export type NewId = () => string;

export function lineWithId(lines: readonly PieceLine[], id: string): PieceLine {
  const line = lines.find((candidate) => candidate.id === id);
  if (!line) throw new Error(`the piece has no line with the id ${id}`);
  return line;
}

/** The lines with one path changed; the same list when it did not change. */
export function withPath(lines: readonly PieceLine[], id: string, path: Path): readonly PieceLine[] {
  if (lineWithId(lines, id).path === path) return lines;
  return lines.map((line) => (line.id === id ? { ...line, path } : line));
}

/** The picked joints of each line, every one once. */
export function picksByLine(picks: readonly JointPick[]): ReadonlyMap<string, readonly number[]> {
  const byLine = new Map<string, number[]>();
  for (const { lineId, joint } of picks) {
    const joints = byLine.get(lineId) ?? [];
    if (!joints.includes(joint)) joints.push(joint);
    byLine.set(lineId, joints);
  }
  return byLine;
}

/** Changes the path of every line that has joints picked. */
export function eachPickedLine(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  change: (path: Path, joints: readonly number[]) => Path,
): EditOutcome {
  if (picks.length === 0) return NOTHING_PICKED;
  let result = lines;
  for (const [lineId, joints] of picksByLine(picks)) {
    result = withPath(result, lineId, change(lineWithId(lines, lineId).path, joints));
  }
  return success({ lines: result, picks });
}

export const NOTHING_PICKED = failure(
  'nothing-picked',
  'No joint is picked, so there is nothing to change. Click a joint, or press N to walk to one.',
);
