/** The part of the document that says whom a headpiece is for, what it is cut from and how it goes round the head. */
import type { BendTest } from '../fit/bend-test.ts';
import type { HeadMeasures } from '../fit/head-measures.ts';
import type { Hold } from '../fit/holding.ts';
import type { ClosesAt } from '../fit/round-head.ts';
import type { PlanePoint } from '../geometry/point.ts';

export interface Wearer extends HeadMeasures {
  readonly id: string;
  readonly name: string;
}

export interface Foam {
  readonly id: string;
  readonly name: string;
  readonly thicknessMm: number;
  /** Place of the neutral surface: 0 inside, 1 outside; 0.5 assumed unless calibrated. */
  readonly neutralK: number;
  /** One sigma of it, and the test strip that it comes from, where one was bent. */
  readonly doubtK?: number;
  readonly bendTest?: BendTest;
}

/** How a piece goes round the head. */
export interface WrapPlan {
  /** Share of the way round the head that this piece covers, rad (2 pi = all round). */
  readonly coverageRad: number;
  /** Ends of the wrap line on the piece, mm in the piece's frame; undefined until the maker (or the app) sets it. */
  readonly line?: { readonly from: PlanePoint; readonly to: PlanePoint; readonly along: 'straight' | 'edge' };
  readonly easeMm: number;
  /** What keeps it on; left out where the maker has not said. */
  readonly hold?: Hold;
  /** The foam of the layer that this piece lies over, where it is a second layer. */
  readonly overFoamId?: string;
}

/** What lies between the head and the foam all round, mm thick when worn. */
export interface Lining {
  readonly linerMm: number;
  readonly paddingMm: number;
}

/** Pieces that go round the head together. */
export interface Round {
  readonly id: string;
  /**
   * In their order by the wearer's left; a piece that is cut twice may stand in two places. A place whose piece is no
   * longer in the build is passed over (lookups.ts): pieces go in many ways, and come back by undo.
   */
  readonly places: readonly { readonly pieceId: string }[];
  readonly closesAt: ClosesAt;
}
