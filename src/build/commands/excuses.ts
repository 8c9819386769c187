import { castDraft, produce } from 'immer';
import type { ExcusedStretch } from '../../mirror/excused.ts';
import type { Build } from '../types.ts';
import { itemWithId, tidyName } from './arguments.ts';

interface OnPiece {
  readonly pieceId: string;
}

/** Names a stretch that is uneven on purpose and keeps it with the piece; one of the same id is replaced (renamed). */
export function excuseStretch(
  build: Build,
  { pieceId, stretch }: OnPiece & { readonly stretch: ExcusedStretch },
): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    const named = { ...stretch, name: tidyName(stretch.name, 'uneven on purpose') };
    const excused = piece.excused ?? [];
    const isKnown = excused.some(({ id }) => id === named.id);
    piece.excused = castDraft(
      isKnown ? excused.map((one) => (one.id === named.id ? named : one)) : [...excused, named],
    );
  });
}

/** The stretch counts again. */
export function judgeStretchAgain(
  build: Build,
  { pieceId, stretchId }: OnPiece & { readonly stretchId: string },
): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    const excused = piece.excused ?? [];
    itemWithId(excused, stretchId, 'excused stretch');
    const rest = excused.filter(({ id }) => id !== stretchId);
    if (rest.length > 0) piece.excused = rest;
    else delete piece.excused;
  });
}
