import { success } from '../../outcome.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { type AxisCandidate, findAxes } from '../../mirror/find-axes.ts';
import { runJob } from '../jobs.ts';
import { innerPaths, outlineOf } from './piece-lines.ts';

export const AXIS_JOB = 'fold-lines';

/** Looks for the fold lines of a piece; undefined when it has no outline or another search took over. */
export async function findFoldLines(
  lines: readonly PieceLine[],
): Promise<readonly AxisCandidate[] | undefined> {
  const outline = outlineOf(lines);
  if (!outline) return undefined;
  return runJob(AXIS_JOB, 'Looking for the fold line', async () =>
    success(findAxes(outline, innerPaths(lines, outline))),
  );
}
