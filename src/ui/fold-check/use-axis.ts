import { useCallback, useMemo } from 'react';
import { lastRevision } from '../../build/lookups.ts';
import type { FoldAxis, Piece } from '../../build/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { type FoldLine, foldLine } from '../../mirror/axis.ts';
import type { AxisCandidate } from '../../mirror/find-axes.ts';
import { success } from '../../outcome.ts';
import { engine } from '../engine.ts';
import { type Ask, useJobResult } from '../job-result.ts';
import { innerPaths, outlineOf } from './piece-lines.ts';

export const AXIS_JOB = 'fold-lines';

type Candidates = readonly AxisCandidate[];
const NONE: Candidates = [];

/** Fold lines found in lines of a piece; lines never change, they are replaced. */
const found = new WeakMap<readonly PieceLine[], Candidates>();

/** The fold lines that the piece itself suggests, best first; undefined while they are looked for. */
function useFoldLines(lines: readonly PieceLine[]): Candidates | undefined {
  const ask = useCallback<Ask<Candidates>>(
    async (call) => {
      const outline = outlineOf(lines);
      if (!outline) return success(NONE);
      const outcome = await engine.findAxes(outline, innerPaths(lines, outline), call);
      if (outcome.ok) found.set(lines, outcome.value);
      return outcome;
    },
    [lines],
  );
  const known = found.get(lines);
  const { value, isStale } = useJobResult(AXIS_JOB, 'Looking for the fold line', known ? undefined : ask, 0);
  return known ?? (isStale ? undefined : value);
}

/** The build's axis as the mirror room wants it: angle in 0 to 180 degrees. */
function inOrder(axis: FoldAxis): FoldLine {
  return foldLine(axis, axis.rule);
}

interface AxisInForce {
  readonly axis: FoldLine | undefined;
  /** False while it is only what the app suggests. */
  readonly isKept: boolean;
  readonly candidates: Candidates;
}

/** The axis kept with the piece, else the one that fits best. */
export function useAxis(piece: Piece): AxisInForce {
  const candidates = useFoldLines(lastRevision(piece).lines) ?? NONE;
  const kept = useMemo(() => piece.axis && inOrder(piece.axis), [piece.axis]);
  return { axis: kept ?? candidates[0]?.axis, isKept: kept !== undefined, candidates };
}
