/** What lies on what in the refit: a revision of the piece below, and a traced piece or another revision on it. */
import type { Build, Piece, Revision } from '../../build/types.ts';
import { lastRevision } from '../../build/lookups.ts';

export interface LaidChoice {
  /** Told apart in the list: "piece …" or "revision …". */
  readonly id: string;
  readonly words: string;
  readonly revision: Revision;
  /** The traced piece; undefined for a revision of the piece itself. */
  readonly piece: Piece | undefined;
}

export const revisionWords = (piece: Piece, revision: Revision): string =>
  `${piece.revisions.indexOf(revision) + 1}: ${revision.why}`;

/** All that can be laid on a revision of the piece: other pieces, those of later photos first, then its other revisions. */
export function laidChoices(build: Build, piece: Piece, base: Revision): LaidChoice[] {
  const others = build.pieces.filter(({ id, mockUpOf }) => id !== piece.id && mockUpOf !== id);
  const place = (other: Piece) => build.captures.findIndex(({ id }) => id === other.captureId);
  const pieces = others
    .toSorted((a, b) => place(b) - place(a))
    .map(
      (other): LaidChoice => ({
        id: `piece ${other.id}`,
        words: other.mockUpOf === piece.id ? `${other.name} (taken over)` : other.name,
        revision: lastRevision(other),
        piece: other,
      }),
    );
  const revisions = piece.revisions
    .filter((revision) => revision !== base)
    .map(
      (revision): LaidChoice => ({
        id: `revision ${revision.id}`,
        words: `revision ${revisionWords(piece, revision)}`,
        revision,
        piece: undefined,
      }),
    );
  return [...pieces, ...revisions.toReversed()];
}
