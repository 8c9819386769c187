import { castDraft, produce } from 'immer';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { Path } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { FARTHEST, LIMITS, LONGEST_WORDS, MOST_LINES, MOST_SEGMENTS } from '../limits.ts';
import { lastRevision } from '../lookups.ts';
import type { Build } from '../types.ts';
import { checked, itemWithId, type Stamp, tidyName } from './arguments.ts';

export interface LineEdit {
  readonly pieceId: string;
  /** Of the sitting, not of the single edit: edits under one id share one revision. */
  readonly stamp: Stamp;
  readonly lines: readonly PieceLine[];
  /** "edited by hand". */
  readonly why: string;
}

/**
 * Puts lines changed by hand in force. The first edit of a sitting makes a revision, the ones after it change that one,
 * so that an hour of small moves is one revision and still as many undo steps. Lines that could not be kept or drawn
 * throw: the verbs never make such.
 */
export function editLines(build: Build, { pieceId, stamp, lines, why }: LineEdit): Build {
  const former = lastRevision(itemWithId(build.pieces, pieceId, 'piece'));
  if (lines === former.lines) return build;
  checkLines(lines);
  return produce(build, ({ pieces }) => {
    const { revisions } = itemWithId(pieces, pieceId, 'piece');
    const last = revisions.at(-1)!;
    if (last.id === stamp.id) {
      last.lines = castDraft(lines);
      return;
    }
    revisions.push({
      id: stamp.id,
      when: stamp.when,
      why: tidyName(why, 'edited by hand'),
      lines: castDraft(lines),
      ...(former.toleranceMm !== undefined && { toleranceMm: former.toleranceMm }),
      ...(former.frame && { frame: castDraft(former.frame) }),
    });
  });
}

const isOnTable = ({ x, y }: PlanePoint) => Math.abs(x) <= FARTHEST && Math.abs(y) <= FARTHEST;

/** What the file format would refuse is refused here, where the fault is. */
function checkLines(lines: readonly PieceLine[]): void {
  if (lines.length > MOST_LINES) throw new RangeError(`a piece may have ${MOST_LINES} lines at most`);
  if (new Set(lines.map(({ id }) => id)).size < lines.length) throw new Error('two lines share an id');
  for (const { path, words } of lines) {
    checkPath(path);
    if (!words) continue;
    checked('Size of the letters', words.sizeMm, LIMITS.wordsSizeMm);
    if (!words.text || words.text.length > LONGEST_WORDS)
      throw new RangeError('words must be 1 to 60 letters');
  }
}

function checkPath({ closed, start, segments }: Path): void {
  const end = segments.at(-1)?.to;
  if (!end || segments.length > MOST_SEGMENTS) {
    throw new RangeError(`a line must have 1 to ${MOST_SEGMENTS} segments, not ${segments.length}`);
  }
  if (closed && (end.x !== start.x || end.y !== start.y))
    throw new Error('a closed line must end where it starts');
  const points = segments.flatMap((s) => (s.kind === 'line' ? [s.to] : [s.c1, s.c2, s.to]));
  // NaN fails every comparison, so it is caught here too.
  if (![start, ...points].every(isOnTable)) throw new RangeError('a point lies off the table');
}
