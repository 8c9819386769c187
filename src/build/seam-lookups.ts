/** Questions about a build's seams. */
import { cutLineOf } from '../fit/scale-piece.ts';
import { midSurfaceInsetMm } from '../fit/seams/bevel.ts';
import type { EdgePoint } from '../fit/seams/edge-ruler.ts';
import { CENTRE_MARK_MM, notchMarks } from '../fit/seams/notch-marks.ts';
import { edgePath } from '../fit/seams/seam-edge.ts';
import { seamNotches, seamRulers, type SeamSide } from '../fit/seams/walk-seam.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { polylinePath } from '../geometry/path.ts';
import { plus, times } from '../geometry/vector.ts';
import { foamOf, lastRevision } from './lookups.ts';
import type { PieceEdge, Seam } from './seam-types.ts';
import type { Build, Piece } from './types.ts';

export interface SeamInForce {
  readonly seam: Seam;
  readonly a: SeamSide & { readonly piece: Piece };
  readonly b: SeamSide & { readonly piece: Piece };
}

function sideOf(build: Build, { pieceId, from, to }: PieceEdge, foldRad: number) {
  const piece = build.pieces.find(({ id }) => id === pieceId);
  const outline = piece && cutLineOf(lastRevision(piece).lines);
  if (!piece || !outline) return undefined;
  const edge = { from, to };
  if (edgePath(outline, edge).segments.length === 0) return undefined;
  return { piece, outline, edge, insetMm: midSurfaceInsetMm(foamOf(build, piece).thicknessMm, foldRad) };
}

/** The seam on the pieces as they are now; undefined when one of them is gone or has no closed cut line. */
function seamInForce(build: Build, seam: Seam): SeamInForce | undefined {
  const a = sideOf(build, seam.a, seam.foldRad);
  const b = sideOf(build, seam.b, seam.foldRad);
  return a && b && { seam, a, b };
}

export function seamsInForce(build: Build): SeamInForce[] {
  return (build.seams ?? []).flatMap((seam) => seamInForce(build, seam) ?? []);
}

/** A piece's notches, seam by seam. */
export interface PieceNotches {
  readonly seam: Seam;
  readonly marks: readonly PieceLine[];
}

/** The notches of all seams on a piece. */
export function notchesOn(build: Build, pieceId: string): PieceNotches[] {
  return seamsInForce(build).flatMap(({ seam, a, b }) => {
    const sides = (['a', 'b'] as const).filter((side) => seam[side].pieceId === pieceId);
    if (sides.length === 0) return [];
    const notches = seamNotches(seamRulers(a, b, seam.facing), seam.notchesPerHalf);
    return sides.map((side) => ({
      seam,
      marks: [
        ...notchMarks(notches, side, `${seam.id}-${side}`),
        ...notches.flatMap((notch) => (notch.kind === 'centre' ? [letterAt(notch[side], seam, side)] : [])),
      ],
    }));
  });
}

const LETTER_MM = 4;

/** The seam's letter beyond the centre mark, the same on both pieces. */
function letterAt({ at, inward }: EdgePoint, { id, name }: Seam, side: 'a' | 'b'): PieceLine {
  const start = plus(at, times(inward, CENTRE_MARK_MM + LETTER_MM));
  const path = polylinePath([start, { x: start.x + LETTER_MM, y: start.y }], false);
  return {
    id: `${id}-${side}-letter`,
    kind: 'mark',
    path,
    words: { text: name.slice(0, 8), sizeMm: LETTER_MM },
  };
}
