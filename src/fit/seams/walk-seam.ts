import type { Path } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { edgePath, type SeamEdge } from './seam-edge.ts';
import { type EdgePoint, type EdgeRuler, edgeRuler } from './edge-ruler.ts';

/** How piece B lies against piece A: beside it as drawn, or turned over first. */
export type SeamFacing = 'beside' | 'turned';

/** One side of a seam. */
export interface SeamSide {
  readonly outline: Path;
  readonly edge: SeamEdge;
  /** How far inside the drawn edge lengths are taken, mm (midSurfaceInsetMm); 0 for a square edge. */
  readonly insetMm: number;
}

/** A stretch of the seam between corners that both edges have, or the whole of it. */
export interface SeamStretch {
  readonly aMm: number;
  readonly bMm: number;
  /** A less B, mm. */
  readonly differenceMm: number;
  /** Where it lies on both pieces. */
  readonly fromA: PlanePoint;
  readonly toA: PlanePoint;
}

export interface SeamWalk {
  readonly aMm: number;
  readonly bMm: number;
  /** A less B, mm. */
  readonly differenceMm: number;
  readonly stretches: readonly SeamStretch[];
  /** The stretch that differs most. */
  readonly worst: SeamStretch;
  /** Where on the longer edge the shorter one comes to its end when both are walked from their common beginning. */
  readonly shorterEndsAt: { readonly edge: 'a' | 'b'; readonly at: PlanePoint };
}

export interface SeamRulers {
  readonly a: EdgeRuler;
  readonly b: EdgeRuler;
}

/**
 * Rulers on both edges from the point where the seam begins. Two pieces laid beside each other both run
 * counter-clockwise, so one edge is met against its way; a piece turned over is met along it.
 */
export function seamRulers(a: SeamSide, b: SeamSide, facing: SeamFacing): SeamRulers {
  return {
    a: edgeRuler(edgePath(a.outline, a.edge), a.insetMm, false),
    b: edgeRuler(edgePath(b.outline, b.edge), b.insetMm, facing === 'beside'),
  };
}

/** Walks a seam: both lengths, the difference (mm), and where along the edges it lies. */
export function walkSeam(a: SeamSide, b: SeamSide, facing: SeamFacing): SeamWalk {
  const rulers = seamRulers(a, b, facing);
  const [aMm, bMm] = [rulers.a.lengthMm, rulers.b.lengthMm];
  const stretches = stretchesOf(rulers);
  const worst = stretches.reduce((most, each) =>
    Math.abs(each.differenceMm) > Math.abs(most.differenceMm) ? each : most,
  );
  const shorterMm = Math.min(aMm, bMm);
  return {
    aMm,
    bMm,
    differenceMm: aMm - bMm,
    stretches,
    worst,
    shorterEndsAt:
      aMm >= bMm
        ? { edge: 'a', at: rulers.a.at(shorterMm).at }
        : { edge: 'b', at: rulers.b.at(shorterMm).at },
  };
}

/** Corner by corner where both edges have as many; else the whole seam. */
function stretchesOf({ a, b }: SeamRulers): SeamStretch[] {
  const isPaired = a.cornersMm.length === b.cornersMm.length;
  const [onA, onB] = [a, b].map(({ cornersMm, lengthMm }) => [0, ...(isPaired ? cornersMm : []), lengthMm]);
  return onA!.slice(1).map((toMm, i) => {
    const aMm = toMm - onA![i]!;
    const bMm = onB![i + 1]! - onB![i]!;
    return { aMm, bMm, differenceMm: aMm - bMm, fromA: a.at(onA![i]!).at, toA: a.at(toMm).at };
  });
}

/** A notch of a seam: the same place on both edges. */
export interface SeamNotch {
  readonly alongMm: number;
  readonly kind: 'centre' | 'towards-start' | 'towards-end';
  readonly a: EdgePoint;
  readonly b: EdgePoint;
}

/**
 * Matching notches at equal arc length on both edges, mm from the seam's beginning: a centre mark, and `perHalf` evenly
 * on either side of it. On edges of different lengths the shorter one decides; the rest stays without a partner.
 */
export function seamNotches({ a, b }: SeamRulers, perHalf: number): SeamNotch[] {
  const lengthMm = Math.min(a.lengthMm, b.lengthMm);
  const steps = 2 * (perHalf + 1);
  return Array.from({ length: steps - 1 }, (_, i) => {
    const alongMm = (lengthMm * (i + 1)) / steps;
    const side = Math.sign(i + 1 - steps / 2);
    const kind = side === 0 ? 'centre' : side < 0 ? 'towards-start' : 'towards-end';
    return { alongMm, kind, a: a.at(alongMm), b: b.at(alongMm) };
  });
}
