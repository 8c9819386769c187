import type { Piece } from '../../build/types.ts';
import { lastTrace } from './last-trace.ts';

/** Of a piece whose side wall shows in the photo: why the line does not lie along the dark shape's rim. */
export function WallNote({ piece }: { readonly piece: Piece }) {
  // Where a part of the edge is seen at its foot, the wall above it is seen too.
  if (!lastTrace(piece)?.footShare) return null;
  return (
    <p className="small quiet">
      The line is the edge of the top face. Where the side wall shows beside it in the photo, the wall is left
      outside on purpose.
    </p>
  );
}
