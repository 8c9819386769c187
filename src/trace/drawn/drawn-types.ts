import type { ImagePoint } from '../../geometry/point.ts';

/** Which line of a stroke is the piece's line; open lines have no outside and always take the centreline. */
export type StrokeEdge = 'centre' | 'outer' | 'inner';

export interface DrawnOptions {
  readonly strokeEdge: StrokeEdge;
  /** Fainter lines are taken for erased ones: share of the paper's light that a line must take away, 0..1. */
  readonly leastDarkness: number;
  /** Gaps up to this length are bridged, mm; 0 bridges none. */
  readonly largestGapMm: number;
  /** Middles of gaps that the maker wants left open, px. */
  readonly refusedGaps: readonly ImagePoint[];
  /**
   * Lines outside every outline go with the nearest piece, but for those whose middle is given here, px; all of them
   * are left out without it.
   */
  readonly keptLoose?: { readonly refused: readonly ImagePoint[] };
  /** Cleaned lines stay within this of the measured line, mm. */
  readonly cleaningToleranceMm: number;
}

export const DEFAULT_DRAWN_OPTIONS: DrawnOptions = {
  strokeEdge: 'centre',
  leastDarkness: 0.18,
  largestGapMm: 3,
  refusedGaps: [],
  cleaningToleranceMm: 0.15,
};

/** A gap in a drawn line that was bridged. */
export interface BridgedGap {
  readonly fromPx: ImagePoint;
  readonly toPx: ImagePoint;
  readonly lengthMm: number;
}

/** A drawn line outside every outline. */
export interface LooseLine {
  /** Some of its places, end to end. */
  readonly linePx: readonly ImagePoint[];
  readonly middlePx: ImagePoint;
  readonly lengthMm: number;
  /** Whether it went with the nearest piece. */
  readonly isKept: boolean;
}
