import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { flattenPath } from '../../geometry/measure.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { pieceSize } from './piece-size.ts';

export interface BoxSide {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  /** Away from the piece, a unit vector. */
  readonly out: PlanePoint;
  readonly lengthMm: number;
}

/** The extent of points along a direction, mm. */
function extentAlong(points: readonly PlanePoint[], { x, y }: PlanePoint): readonly [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (const point of points) {
    const along = x * point.x + y * point.y;
    low = Math.min(low, along);
    high = Math.max(high, along);
  }
  return [low, high];
}

/**
 * A long and a short side of the smallest box round a piece, mm in the piece's frame: the long one below the piece,
 * the short one at its left, as far as its turn allows.
 */
export function boxSides(piece: Piece): readonly [BoxSide, BoxSide] {
  const { longMm, shortMm, longRad } = pieceSize(piece);
  const { lines } = lastRevision(piece);
  const outline = lines.find(({ kind }) => kind === 'cut') ?? lines[0];
  const points = outline ? flattenPath(outline.path) : [];
  const [cos, sin] = [Math.cos(longRad), Math.sin(longRad)];
  // Pointing right, and so upwards across it; a box that stands on end is told from its left side.
  const along = cos >= 0 ? { x: cos, y: sin } : { x: -cos, y: -sin };
  const across = { x: -along.y, y: along.x };
  const [left, right] = extentAlong(points, along);
  const [bottom, top] = extentAlong(points, across);
  const at = (u: number, v: number): PlanePoint => ({
    x: u * along.x + v * across.x,
    y: u * along.y + v * across.y,
  });
  return [
    { from: at(left, bottom), to: at(right, bottom), out: { x: -across.x, y: -across.y }, lengthMm: longMm },
    { from: at(left, bottom), to: at(left, top), out: { x: -along.x, y: -along.y }, lengthMm: shortMm },
  ];
}
