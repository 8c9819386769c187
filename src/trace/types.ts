import type { Path } from '../geometry/path.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Problem } from '../outcome.ts';
import type { BridgedGap, DrawnOptions, LooseLine } from './drawn/drawn-types.ts';

export interface TraceOptions {
  /** Cleaned lines stay within this of the measured edge, mm. */
  readonly cleaningToleranceMm: number;
  /** -1..1: below 0 pieces shrink to what differs most from the table, above 0 they take in faint parts. */
  readonly edgeBias: number;
  /** Regions smaller than this are dust, mm2. */
  readonly smallestAreaMm2: number;
  /** Lines drawn on paper are traced in place of cut pieces. */
  readonly drawn?: DrawnOptions;
}

export const DEFAULT_TRACE_OPTIONS: TraceOptions = {
  cleaningToleranceMm: 0.15,
  edgeBias: 0,
  smallestAreaMm2: 300,
};

/** Which edge of a thick piece a stretch of outline was seen on. */
export type SeenEdge = 'top' | 'foot';

export interface TracedEdge {
  /** Cleaned outline on the plane, mm: counter-clockwise for outlines, clockwise for holes. */
  readonly path: Path;
  /** The refined edge before cleaning, mm, evenly spread. */
  readonly measured: readonly PlanePoint[];
  /** Where each measured point was seen in the photo. */
  readonly seenPx: readonly ImagePoint[];
  /** How far cleaning moved the line, mm. */
  readonly movedMaxMm: number;
  readonly movedMeanMm: number;
  /** Share of the outline that was mapped at the foot's height (0) rather than the top edge's. */
  readonly footShare: number;
}

export interface TracedPiece {
  readonly outer: TracedEdge;
  readonly holes: readonly TracedEdge[];
  /** Drawn lines inside the outline, open or closed; left out for cut pieces. */
  readonly innerLines?: readonly TracedEdge[];
  readonly lengthMm: number;
  readonly areaMm2: number;
  /** Mean colour, for telling pieces apart in lists (sRGB hex). */
  readonly color: string;
  /** One-sigma tolerance of the piece's longest span, mm. */
  readonly toleranceMm: number;
  readonly warnings: readonly TraceWarning[];
}

export type TraceWarningCode =
  | 'piece-cut-off'
  | 'faint-edge'
  | 'no-piece'
  | 'touches-card'
  | 'side-wall'
  | 'doubtful-opening'
  | 'no-outline'
  | 'loose-lines';
export type TraceWarning = Problem<TraceWarningCode>;

export interface TraceResult {
  readonly pieces: readonly TracedPiece[];
  /** Drawn lines only: gaps that were bridged, and lines outside every outline that no piece has. */
  readonly gaps?: readonly BridgedGap[];
  readonly looseLines?: readonly TracedEdge[];
  /** All lines outside every outline, those that went with a piece as well. */
  readonly loose?: readonly LooseLine[];
  readonly warnings: readonly TraceWarning[];
}
