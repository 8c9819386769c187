/** What the solve knows of a thing of known shape that lies flat on the table: scale cards and other references. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import type { SeenPoint } from './card-points.ts';

/** A place on a straight side, seen only across the side: where along it nobody can tell. */
export interface SeenSidePlace {
  readonly seen: ImagePoint;
  /** Unit normal of the side in the picture. */
  readonly normal: ImagePoint;
  /** One-sigma noise along the normal, px. */
  readonly sigmaPx: number;
}

/**
 * A straight side in the target's own frame, mm. It may lie off its nominal place as a whole and be turned: such
 * errors (size, cutting, curl, how its edge is lit) are shared by all its places, so each side has unknowns of its own.
 */
export interface SeenSide {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly places: readonly SeenSidePlace[];
  /** One-sigma doubt of the shift along its outward normal, mm; clockwise from the top left, so left of the way. */
  readonly shiftDoubtMm: number;
  /** One-sigma doubt of the shift that its end `to` has beyond its middle, mm; the other end has as much inward. */
  readonly turnDoubtMm: number;
  /** One-sigma doubt of its bow, mm: how far its ends stand outward of where they would, twice what its middle stands inward. */
  readonly bowDoubtMm: number;
}

/** A side's own unknowns: shift, turn, bow. */
export const SIDE_UNKNOWNS = 3;

/** How much each of a side's own unknowns moves it outward at a share -1 .. 1 of half its length (Legendre's polynomials). */
export function sideBasis(share: number): readonly [number, number, number] {
  return [1, share, (3 * share * share - 1) / 2];
}

export interface SeenTarget {
  readonly points: readonly SeenPoint[];
  readonly sides?: readonly SeenSide[];
  /** Rough places of four or more points to start from; `points` serve when left out. */
  readonly rough?: readonly Pick<SeenPoint, 'at' | 'seen'>[];
  /** Height of its face over the table, mm; that of the scale cards when left out. */
  readonly faceHeightMm?: number;
  /** False when its size does not depend on the print; true when left out. */
  readonly isPrinted?: boolean;
}

export function faceHeightOf({ faceHeightMm = CARD_FACE_HEIGHT_MM }: SeenTarget): number {
  return faceHeightMm;
}

/** Points to start from. */
export function roughPoints({ rough, points }: SeenTarget): readonly Pick<SeenPoint, 'at' | 'seen'>[] {
  return rough ?? points;
}

/** Unknowns of all sides of all targets. */
export function slackCount(targets: readonly SeenTarget[]): number {
  return targets.reduce((sum, { sides = [] }) => sum + SIDE_UNKNOWNS * sides.length, 0);
}
