import type { PlanePoint } from './point.ts';

/** The part of a piece that one printed page answers for, in the piece's frame, mm. */
export interface PrintedTile {
  readonly name: string;
  readonly corners: readonly PlanePoint[];
}

/** Where two pages are taped together, in the piece's frame. */
export interface PageSeam {
  /** Names of the tiles on either side. */
  readonly tiles: readonly [string, string];
  readonly from: PlanePoint;
  readonly to: PlanePoint;
}
