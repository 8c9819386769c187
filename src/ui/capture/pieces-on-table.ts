import type { Piece } from '../../build/types.ts';
import { flattenPath } from '../../geometry/measure.ts';
import type { PlanePoint } from '../../geometry/point.ts';

/** Coarse enough to be quick, fine enough to say where a card has room. */
const FLATTENING_MM = 1;

/** Outlines of the included pieces of a photo where they lie on its table, mm. */
export function piecesOnTable(
  pieces: readonly Piece[],
  captureId: string,
): readonly (readonly PlanePoint[])[] {
  return pieces
    .filter((piece) => piece.captureId === captureId && piece.included)
    .flatMap(({ revisions }) => {
      const outer = revisions.findLast(({ frame }) => frame)?.lines[0];
      return outer ? [flattenPath(outer.path, FLATTENING_MM)] : [];
    });
}

/** The middle of the pieces' common box, mm; undefined without a piece. */
export function middleOf(pieces: readonly (readonly PlanePoint[])[]): PlanePoint | undefined {
  const points = pieces.flat();
  if (points.length === 0) return undefined;
  const [xs, ys] = [points.map(({ x }) => x), points.map(({ y }) => y)];
  const half = (values: readonly number[]): number =>
    (values.reduce((a, b) => Math.min(a, b)) + values.reduce((a, b) => Math.max(a, b))) / 2;
  return { x: half(xs), y: half(ys) };
}
