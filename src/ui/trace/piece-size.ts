import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { type BoxSides, smallestBox } from '../../geometry/smallest-box.ts';

/** Size of a piece in force, however it lies: sides of the smallest box round its cut line, mm. */
export function pieceSize(piece: Piece): BoxSides {
  const { lines } = lastRevision(piece);
  const line = lines.find(({ kind }) => kind === 'cut') ?? lines[0];
  return line ? smallestBox(line.path) : { longMm: 0, shortMm: 0, longRad: 0 };
}
