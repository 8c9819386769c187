import { useEffect, useMemo, useState } from 'react';
import type { FoldAxis, Piece } from '../../build/types.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { type FoldLine, foldLine } from '../../mirror/axis.ts';
import type { AxisCandidate } from '../../mirror/find-axes.ts';
import { findFoldLines } from './find-fold-lines.ts';

/** Fold lines found in lines of a piece; lines never change, they are replaced. */
const found = new WeakMap<readonly PieceLine[], readonly AxisCandidate[]>();

/** The fold lines that the piece itself suggests, best first; undefined while they are looked for. */
export function useFoldLines(lines: readonly PieceLine[]): readonly AxisCandidate[] | undefined {
  const [, setKnown] = useState<readonly PieceLine[] | undefined>(undefined);
  useEffect(() => {
    if (found.has(lines)) return;
    let isWanted = true;
    void findFoldLines(lines).then((candidates) => {
      if (candidates) found.set(lines, candidates);
      if (isWanted) setKnown(lines);
    });
    return () => {
      isWanted = false;
    };
  }, [lines]);
  return found.get(lines);
}

/** The build's axis as the mirror room wants it: angle in 0 to 180 degrees. */
function inOrder(axis: FoldAxis): FoldLine {
  return foldLine(axis, axis.rule);
}

interface AxisInForce {
  readonly axis: FoldLine | undefined;
  /** False while it is only what the app suggests. */
  readonly isKept: boolean;
  readonly candidates: readonly AxisCandidate[] | undefined;
}

/** The axis kept with the piece, else the one that fits best. */
export function useAxis(piece: Piece): AxisInForce {
  const candidates = useFoldLines(lastRevision(piece).lines);
  const kept = useMemo(() => piece.axis && inOrder(piece.axis), [piece.axis]);
  return { axis: kept ?? candidates?.[0]?.axis, isKept: kept !== undefined, candidates };
}
