import type { Piece } from '../../build/types.ts';
import type { CaptureWarning, CaptureWarningCode } from '../../capture/types.ts';
import type { TraceWarningCode } from '../../trace/types.ts';

/** What another photo, better laid or better lit, would mend. */
const BY_RETAKING: ReadonlySet<CaptureWarningCode> = new Set([
  'blur',
  'glare',
  'tilt',
  'cards-bunched',
  'card-cut-off',
  'card-covered',
  'card-bent',
  'card-other-size',
  'card-twice',
  'card-left-out',
  'card-unread',
  'one-card',
  'two-cards',
]);

const PIECE_BY_RETAKING: ReadonlySet<TraceWarningCode> = new Set(['piece-cut-off', 'touches-card']);

export function isMendedByRetaking({ code }: CaptureWarning): boolean {
  return BY_RETAKING.has(code);
}

/** What the traced pieces of a photo ask another photo for, each with its piece's name. */
export function pieceHints(pieces: readonly Piece[], captureId: string): readonly string[] {
  return pieces
    .filter((piece) => piece.captureId === captureId && piece.included)
    .flatMap(({ name, revisions }) =>
      (revisions.findLast(({ traced }) => traced)?.traced?.warnings ?? [])
        .filter(({ code }) => PIECE_BY_RETAKING.has(code))
        .map(({ message }) => `${name}: ${message}`),
    );
}
