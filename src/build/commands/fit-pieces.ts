import type { FitPlan } from '../../fit/fit-plan.ts';
import { stretchAxis, stretcher } from '../../fit/resize.ts';
import { type FitMode, stretchOf } from '../../fit/scale-piece.ts';
import type { Build } from '../types.ts';
import { wrapInForce } from '../wrap-in-force.ts';
import { itemWithId, type Stamp } from './arguments.ts';
import { addRevision } from './pieces.ts';
import { carrySeams } from './seams.ts';

/** A piece and what fitting makes of it. */
export interface PieceFit {
  readonly pieceId: string;
  readonly plan: FitPlan;
  readonly mode: FitMode;
}

/**
 * Puts fitted lines in force, each as a revision of its piece; wrap line, fold axis and seams go along. `why` as in "fitted to
 * Wren, 580 mm".
 */
export function fitPieces(
  build: Build,
  { stamp, why, fits }: { readonly stamp: Stamp; readonly why: string; readonly fits: readonly PieceFit[] },
): Build {
  return fits.reduce((fitted, { pieceId, plan, mode }, index) => {
    const piece = itemWithId(fitted.pieces, pieceId, 'piece');
    const wrap = wrapInForce(fitted, piece);
    if (!wrap) return fitted;
    const stretch = stretchOf(mode, wrap.line, plan.factor);
    const carried = carrySeams(fitted, { pieceId, move: stretcher(stretch) });
    return addRevision(carried, {
      pieceId,
      stamp: { ...stamp, id: index === 0 ? stamp.id : `${stamp.id}-${index + 1}` },
      lines: plan.lines,
      why,
      wrap: { ...wrap, line: plan.wrapLine },
      ...(piece.axis && { axis: stretchAxis(piece.axis, stretch) }),
      leavesPhoto: true,
    });
  }, build);
}
