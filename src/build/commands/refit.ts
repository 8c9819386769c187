import { produce } from 'immer';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { lastRevision } from '../lookups.ts';
import type { Build } from '../types.ts';
import { itemWithId, type Stamp } from './arguments.ts';
import { addRevision } from './pieces.ts';

export interface AcceptedMockUp {
  /** The piece whose next revision it becomes, and the traced mock-up. */
  readonly pieceId: string;
  readonly mockUpId: string;
  /** The lines of the next revision, in the piece's own frame. */
  readonly lines: readonly PieceLine[];
  /** "trimmed 3.2 mm at most". */
  readonly why: string;
  readonly stamp: Stamp;
}

/**
 * Takes a trimmed mock-up's edge into the piece as its next revision. The mock-up itself stays in the build with its photo, but is
 * left out of fit and template, since the piece stands for both from now on.
 */
export function acceptMockUp(build: Build, { pieceId, mockUpId, lines, why, stamp }: AcceptedMockUp): Build {
  if (pieceId === mockUpId) throw new Error('A piece is no mock-up of itself');
  const { toleranceMm } = lastRevision(itemWithId(build.pieces, mockUpId, 'piece'));
  const revised = addRevision(build, {
    pieceId,
    stamp,
    lines,
    why,
    ...(toleranceMm !== undefined && { toleranceMm }),
  });
  return produce(revised, ({ pieces }) => {
    const mockUp = itemWithId(pieces, mockUpId, 'piece');
    mockUp.mockUpOf = pieceId;
    mockUp.included = false;
  });
}
