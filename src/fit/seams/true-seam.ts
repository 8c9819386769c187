import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import type { Path } from '../../geometry/path.ts';
import { failure, type Outcome, success } from '../../outcome.ts';
import { settledPlace, type SeamEdge } from './seam-edge.ts';
import { pointAt } from '../../geometry/place.ts';
import { trueEdge } from './true-edge.ts';
import { type SeamFacing, type SeamSide, walkSeam } from './walk-seam.ts';

/** Which edge gives way: both by half the difference, or one by all of it. */
export type TrueHow = 'share' | 'a-follows' | 'b-follows';

/** One side after truing. */
export interface TruedSide {
  readonly outline: Path;
  readonly edge: SeamEdge;
  readonly lengthMm: number;
  readonly largestMoveMm: number;
  /** Where a corner of the former outline lies now. */
  readonly move: (point: PlanePoint) => PlanePoint;
}

export interface TruedSeam {
  readonly a: TruedSide;
  readonly b: TruedSide;
}

/** Edges that differ by more than this share do not belong together. */
const MOST_CHANGE = 0.2;
const SAME_CORNER_MM = 1e-3;

/**
 * Trues two edges of different pieces to one length: corners stay corners, and how far anything moves is told.
 * Two edges of one piece are trued one after the other (`onePiece`), each carried by the other's move.
 */
export function trueSeam(
  a: SeamSide,
  b: SeamSide,
  facing: SeamFacing,
  how: TrueHow,
  onePiece: boolean,
): Outcome<TruedSeam, 'edges-too-different' | 'edges-overlap'> {
  const { aMm, bMm } = walkSeam(a, b, facing);
  const targetMm = { share: (aMm + bMm) / 2, 'a-follows': bMm, 'b-follows': aMm }[how];
  const change = Math.max(targetMm / Math.min(aMm, bMm), Math.max(aMm, bMm) / targetMm) - 1;
  if (!(change <= MOST_CHANGE))
    return failure(
      'edges-too-different',
      `The edges are ${aMm.toFixed(1)} and ${bMm.toFixed(1)} mm long, too far apart to be one seam: evening them out would change the pieces' shape. Check which edges are picked, or pick a part of the longer one.`,
    );
  if (!onePiece) return success({ a: sideTo(a, targetMm), b: sideTo(b, targetMm) });

  const first = sideTo(a, targetMm);
  const carried = { ...b, outline: first.outline, edge: followed(a, first, b.edge) };
  const second = sideTo(carried, targetMm);
  const edge = followed(carried, second, first.edge);
  const walked = walkSeam({ ...a, outline: second.outline, edge }, { ...carried, ...second }, facing);
  if (Math.abs(walked.differenceMm) > 0.01)
    return failure(
      'edges-overlap',
      'Both edges lie side by side on one piece, so evening out the one changes the other. Let only one of them follow.',
    );
  return success({
    a: {
      ...first,
      outline: second.outline,
      edge,
      largestMoveMm: Math.max(first.largestMoveMm, second.largestMoveMm),
      move: (point) => second.move(first.move(point)),
    },
    b: second,
  });
}

function sideTo(side: SeamSide, targetMm: number): TruedSide {
  const { outline, edge, largestMoveMm, move } = trueEdge(side.outline, side.edge, targetMm, side.insetMm);
  return { outline, edge, lengthMm: targetMm, largestMoveMm, move };
}

/** An edge of the same outline, its ends carried along where they were ends of the trued one. */
function followed(former: SeamSide, now: { readonly edge: SeamEdge }, edge: SeamEdge): SeamEdge {
  const carried = (point: PlanePoint): PlanePoint => {
    const here = pointAt(former.outline, settledPlace(former.outline, point));
    for (const end of ['from', 'to'] as const) {
      const was = pointAt(former.outline, settledPlace(former.outline, former.edge[end]));
      if (distanceMm(here, was) < SAME_CORNER_MM) return now.edge[end];
    }
    return point;
  };
  return { from: carried(edge.from), to: carried(edge.to) };
}
