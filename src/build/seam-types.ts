/** The part of the document that says which edges meet, what is left on for trying on, and which sizes are made. */
import type { FitMode } from '../fit/scale-piece.ts';
import type { SeamEdge } from '../fit/seams/seam-edge.ts';
import type { SeamFacing } from '../fit/seams/walk-seam.ts';

export interface PieceEdge extends SeamEdge {
  readonly pieceId: string;
}

/**
 * Two edges that are joined. A seam whose piece is no longer in the build is passed over (seam-lookups.ts): pieces go in
 * many ways, and come back by undo.
 */
export interface Seam {
  readonly id: string;
  readonly name: string;
  readonly a: PieceEdge;
  readonly b: PieceEdge;
  readonly facing: SeamFacing;
  /** Notches on either side of the centre mark. */
  readonly notchesPerHalf: number;
  /** How far the foam turns at the seam, rad; 0 where it lies flat or curves on smoothly. */
  readonly foldRad: number;
}

/** A strip left on outside a piece's cut line, for trying on first and trimming after. */
export interface ExtraStrip {
  readonly pieceId: string;
  readonly widthMm: number;
}

/** Heads that the same design is cut for: girths in steps, mm, or wearers of the build. */
export type SizeHeads =
  | { readonly kind: 'steps'; readonly fromMm: number; readonly toMm: number; readonly stepMm: number }
  | { readonly kind: 'wearers'; readonly wearerIds: readonly string[] };

export interface SizeRange {
  readonly heads: SizeHeads;
  readonly mode: FitMode;
}
