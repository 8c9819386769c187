import { useCallback, useMemo } from 'react';
import { lastRevision } from '../../../build/lookups.ts';
import type { Piece } from '../../../build/types.ts';
import type { WrapInForce } from '../../../build/wrap-in-force.ts';
import { spreadPiece } from '../../../fit/spread/spread-piece.ts';
import { useWorkedOut } from '../../worked-out.ts';
import { useSlashes, useWork } from './work-store.ts';

/** The piece opened at the lines drawn on it, as it would become; worked out beside the rendering. */
export function useSpread(piece: Piece, wrap: WrapInForce) {
  const slashes = useSlashes(piece.id);
  const openedIds = useWork((work) => work.openedIds);
  const reachMm = useWork((work) => work.reachMm);
  const { lines } = lastRevision(piece);
  const options = useMemo(
    () => ({
      keptIds: new Set(
        lines.filter(({ kind, id }) => kind === 'cutout' && !openedIds.has(id)).map(({ id }) => id),
      ),
      ...(reachMm !== undefined && { reachMm }),
    }),
    [lines, openedIds, reachMm],
  );
  const { line } = wrap;
  const work = useCallback(() => spreadPiece(lines, line, slashes, options), [lines, line, slashes, options]);
  const { value, isStale } = useWorkedOut(slashes.length > 0 ? work : undefined);
  return { slashes, options, outcome: value, isStale };
}
