import { castDraft, produce } from 'immer';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { LIMITS } from '../limits.ts';
import { lastRevision } from '../lookups.ts';
import type { Build, FoldAxis, Revision, WrapPlan } from '../types.ts';
import { checked, checkedCount, itemWithId, type Stamp, tidyName } from './arguments.ts';
import { inFrame } from './photo-frame.ts';

interface OnPiece {
  readonly pieceId: string;
}

export interface NewPiece {
  readonly stamp: Stamp;
  readonly name: string;
  readonly lines: readonly PieceLine[];
  /** "made from Guard, mirrored". */
  readonly why: string;
  /** The build's chosen foam when left out. */
  readonly foamId?: string;
}

/** Adds a piece that was made in the app rather than traced. */
export function addPiece(build: Build, { stamp, name, lines, why, foamId }: NewPiece): Build {
  const foam = itemWithId(build.foams, foamId ?? build.foamId ?? build.foams[0]!.id, 'foam');
  const revision: Revision = { id: `${stamp.id}-1`, when: stamp.when, why, lines };
  return produce(build, ({ pieces }) => {
    pieces.push({
      id: stamp.id,
      name: tidyName(name, `Piece ${pieces.length + 1}`),
      foamId: foam.id,
      count: 1,
      mirroredCount: 0,
      included: true,
      revisions: [castDraft(revision)],
    });
  });
}

export function removePiece(build: Build, { pieceId }: OnPiece): Build {
  return produce(build, ({ pieces }) => {
    pieces.splice(pieces.indexOf(itemWithId(pieces, pieceId, 'piece')), 1);
  });
}

export function renamePiece(build: Build, { pieceId, name }: OnPiece & { readonly name: string }): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    piece.name = tidyName(name, piece.name);
  });
}

/** Takes a piece into template, fit and files, or leaves it out of them. */
export function includePiece(
  build: Build,
  { pieceId, included }: OnPiece & { readonly included: boolean },
): Build {
  return produce(build, ({ pieces }) => {
    itemWithId(pieces, pieceId, 'piece').included = included;
  });
}

/** How many to cut as drawn, and how many mirrored. */
export function setPieceCounts(
  build: Build,
  { pieceId, count, mirroredCount }: OnPiece & { readonly count?: number; readonly mirroredCount?: number },
): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    if (count !== undefined) piece.count = checkedCount('Count', count, LIMITS.count);
    if (mirroredCount !== undefined) {
      piece.mirroredCount = checkedCount('Mirrored count', mirroredCount, LIMITS.count);
    }
  });
}

export function setPieceFoam(
  build: Build,
  { pieceId, foamId }: OnPiece & { readonly foamId: string },
): Build {
  return produce(build, (draft) => {
    itemWithId(draft.pieces, pieceId, 'piece').foamId = itemWithId(draft.foams, foamId, 'foam').id;
  });
}

/** Sets the fold axis in force; `undefined` takes it away. */
export function setAxis(
  build: Build,
  { pieceId, axis }: OnPiece & { readonly axis: FoldAxis | undefined },
): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    if (axis) piece.axis = castDraft(axis);
    else delete piece.axis;
  });
}

/** Sets how the piece goes round the head; `undefined` for a piece that does not. */
export function setWrap(
  build: Build,
  { pieceId, wrap }: OnPiece & { readonly wrap: WrapPlan | undefined },
): Build {
  return produce(build, ({ pieces, foams }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    if (!wrap) {
      delete piece.wrap;
      return;
    }
    checked('Coverage', wrap.coverageRad, LIMITS.coverageRad);
    checked('Ease', wrap.easeMm, LIMITS.easeMm);
    if (wrap.overFoamId !== undefined) itemWithId(foams, wrap.overFoamId, 'foam');
    piece.wrap = castDraft(wrap);
  });
}

export interface NewRevision extends OnPiece {
  readonly stamp: Stamp;
  readonly lines: readonly PieceLine[];
  /** "averaged halves", "fitted to Wren, 580 mm". */
  readonly why: string;
  /** The former revision's when left out. */
  readonly toleranceMm?: number;
  /** Set where the change moves the axis or the wrap line along (a fit does). */
  readonly axis?: FoldAxis;
  readonly wrap?: WrapPlan;
  /** True when the lines no longer lie where the photo shows the piece (it was turned, moved or scaled). */
  readonly leavesPhoto?: boolean;
}

/** Puts new lines in force; the former ones stay as the revision before. */
export function addRevision(build: Build, change: NewRevision): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, change.pieceId, 'piece');
    const former = lastRevision(piece);
    const toleranceMm = change.toleranceMm ?? former.toleranceMm;
    piece.revisions.push({
      id: change.stamp.id,
      when: change.stamp.when,
      why: tidyName(change.why, 'changed'),
      lines: castDraft(change.lines),
      ...(toleranceMm !== undefined && { toleranceMm }),
      ...(former.frame && !change.leavesPhoto && { frame: castDraft(former.frame) }),
    });
    if (change.axis) piece.axis = castDraft(change.axis);
    if (change.wrap) piece.wrap = castDraft(change.wrap);
  });
}

/** Puts an earlier revision's lines in force again, as a new revision, so that no revision is lost. */
export function revertToRevision(
  build: Build,
  { pieceId, revisionId, stamp }: OnPiece & { readonly revisionId: string; readonly stamp: Stamp },
): Build {
  return produce(build, ({ pieces }) => {
    const piece = itemWithId(pieces, pieceId, 'piece');
    const wanted = itemWithId(piece.revisions, revisionId, 'revision');
    const former = lastRevision(piece);
    if (wanted === former) return;
    const { origin: _, ...kept } = wanted;
    piece.revisions.push({
      ...kept,
      id: stamp.id,
      when: stamp.when,
      why: tidyName(`back to: ${wanted.why.replace(/^back to: /u, '')}`, 'back'),
    });
    Object.assign(piece, castDraft(inFrame(piece, former.frame, wanted.frame)));
  });
}
