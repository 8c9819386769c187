/** The edges of pieces from corner to corner, for lists and for picking on the table. */
import { lastRevision } from '../../../build/lookups.ts';
import type { PieceEdge } from '../../../build/seam-types.ts';
import type { Piece } from '../../../build/types.ts';
import { cutLineOf } from '../../../fit/scale-piece.ts';
import { cornersOf, edgePath, type SeamEdge } from '../../../fit/seams/seam-edge.ts';
import { pathLengthMm } from '../../../geometry/measure.ts';
import type { Path } from '../../../geometry/path.ts';
import { pointAt } from '../../../geometry/place.ts';
import { distanceMm } from '../../../geometry/point.ts';
import { placeAtLength } from '../../../geometry/place.ts';
import { mmWords } from '../../controls/number-words.ts';

export interface ListedEdge {
  readonly id: string;
  /** "Edge 2, 151.3 mm". */
  readonly words: string;
  readonly edge: PieceEdge;
  readonly path: Path;
}

/** Edges shorter than this are nicks of the cutting, not seams. */
const SHORTEST_MM = 3;

const known = new WeakMap<object, readonly ListedEdge[]>();

/** A piece's edges in the order of its outline. */
export function edgesOf(piece: Piece): readonly ListedEdge[] {
  const { lines } = lastRevision(piece);
  const cached = known.get(lines);
  if (cached) return cached;
  const outline = cutLineOf(lines);
  const listed = outline ? listedEdges(piece.id, outline) : [];
  known.set(lines, listed);
  return listed;
}

function listedEdges(pieceId: string, outline: Path): ListedEdge[] {
  const corners = cornersOf(outline)
    .toSorted((a, b) => a.segment - b.segment)
    .map((place) => pointAt(outline, place));
  const ends = corners.length > 0 ? corners : [outline.start];
  return ends
    .map((from, i): SeamEdge => ({ from, to: ends[(i + 1) % ends.length]! }))
    .map((edge) => ({ edge, path: edgePath(outline, edge) }))
    .map(({ edge, path }) => ({ edge, path, lengthMm: pathLengthMm(path) }))
    .filter(({ lengthMm }) => lengthMm >= SHORTEST_MM)
    .map(({ edge, path, lengthMm }, i) => ({
      id: `${i}`,
      words: `Edge ${i + 1}, ${mmWords(lengthMm)} mm`,
      edge: { pieceId, ...edge },
      path,
    }));
}

const isSame = (a: SeamEdge, b: SeamEdge) =>
  distanceMm(a.from, b.from) < 0.01 && distanceMm(a.to, b.to) < 0.01;

/** The listed edge that a picked one is, or lies on; undefined for a part picked by hand. */
export function listedAs(edges: readonly ListedEdge[], edge: PieceEdge | undefined): ListedEdge | undefined {
  return edge && edges.find((each) => isSame(each.edge, edge));
}

/** An edge without a stretch at its beginning and its end, mm. */
export function partOfEdge(edge: PieceEdge, path: Path, leaveMm: readonly [number, number]): PieceEdge {
  const totalMm = pathLengthMm(path);
  const at = (mm: number) => pointAt(path, placeAtLength(path, mm));
  return { ...edge, from: at(leaveMm[0]), to: at(totalMm - leaveMm[1]) };
}
