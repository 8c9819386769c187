import type { Piece, TraceFacts } from '../../build/types.ts';

/** What the newest trace found out about a piece; undefined for one that was not traced. */
export function lastTrace(piece: Piece): TraceFacts | undefined {
  return piece.revisions.findLast(({ traced }) => traced)?.traced;
}
