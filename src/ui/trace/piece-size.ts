import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';

export interface PieceSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Width and height of a piece's lines in force as they lie, mm. */
export function pieceSize(piece: Piece): PieceSize {
  const points = lastRevision(piece).lines.flatMap(({ path }) => flattenPath(path));
  const { minX, minY, maxX, maxY } = boundsOf(points);
  return { widthMm: maxX - minX, heightMm: maxY - minY };
}
