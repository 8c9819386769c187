import type { PieceLine } from '../geometry/line-kinds.ts';
import type { Path } from '../geometry/path.ts';
import { pathFaults } from '../geometry/path-faults.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import { runLike } from './compare-line.ts';
import { laidLines, type RevisionComparison } from './compare-revisions.ts';
import { splice } from './splice.ts';

interface AcceptOptions {
  /** Ids of the stretches and of gone openings that are accepted, and `new/` with the id of new ones; all of the new outline when left out. */
  readonly accepted?: readonly string[];
}

/**
 * The lines of the next revision, in the old revision's frame, so that its fold axis, wrap line, inner lines and marks stay
 * where they are: the new outline and openings as laid, or the old ones with the new edge on the accepted stretches only.
 * `oldLines` and `newLines` are those that were compared. Lines keep the old ids.
 */
export function acceptRefit(
  oldLines: readonly PieceLine[],
  newLines: readonly PieceLine[],
  comparison: RevisionComparison,
  { accepted }: AcceptOptions = {},
): Outcome<readonly PieceLine[], 'would-cross-itself'> {
  const laid = laidLines(newLines, comparison.motion);
  const isAccepted = (id: string) => accepted === undefined || accepted.includes(id);
  const lines = oldLines.flatMap((line): PieceLine[] => {
    const compared = comparison.lines.find(({ lineId }) => lineId === line.id);
    if (!compared) return comparison.goneOpenings.includes(line.id) && isAccepted(line.id) ? [] : [line];
    const fresh = runLike(laid.find(({ id }) => id === compared.newLineId)!.path, line.path);
    if (accepted === undefined) return [{ ...line, path: fresh }];
    const taken = compared.stretches.filter(({ id }) => isAccepted(id)).map(({ join }) => join);
    return [{ ...line, path: splice(line.path, fresh, taken) }];
  });
  // What crosses itself in either revision is no fault of the joining.
  const sound = [...oldLines, ...laid].every(({ path }) => !crossesItself(path));
  if (sound && lines.some(({ path }) => crossesItself(path))) {
    return failure(
      'would-cross-itself',
      'With these stretches the edge would cross itself, so it could not be cut. Accept the stretches beside them too, or all of the new outline.',
    );
  }
  const added = laid
    .filter(({ id }) => comparison.newOpenings.includes(id) && isAccepted(`new/${id}`))
    .map((line) => ({ ...line, id: freeId(line.id, oldLines) }));
  return success([...lines, ...added]);
}

const crossesItself = (path: Path) => pathFaults(path).some(({ code }) => code === 'crosses-itself');

/** The id itself, or with the first number that makes it unlike all others. */
function freeId(id: string, lines: readonly PieceLine[]): string {
  let free = id;
  for (let n = 2; lines.some((line) => line.id === free); n++) free = `${id}-${n}`;
  return free;
}
