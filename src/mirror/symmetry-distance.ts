import { mover, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import { midpoint, type PlanePoint } from '../geometry/point.ts';
import { fitRigid } from '../geometry/register.ts';

/** Two points meant as mirror images; a point meant to lie on the axis is paired with itself. */
export type PointPair = readonly [PlanePoint, PlanePoint];

/** What of the axis may be chosen: nothing, its place, or its place and direction. Always state which one was used. */
export type SymmetryRule = 'fixed' | 'shift' | 'free';

export interface SymmetryDistance {
  readonly rule: SymmetryRule;
  readonly axis: StraightLine;
  /** Mean squared move that makes the points symmetric, mm2, and its root, mm. */
  readonly meanSquareMm2: number;
  readonly rmsMm: number;
  /** The nearest symmetric set, in the order given. */
  readonly symmetric: readonly PointPair[];
}

/**
 * Symmetry distance of paired points (Zabrodsky, Peleg and Avnir, "Symmetry as a continuous feature", IEEE PAMI 17(12), 1995):
 * the least mean squared move that makes them mirror-symmetric, here in mm2 without their scaling to a
 * standard size. Each pair is folded onto one side, averaged, and unfolded. Throws for an empty list.
 */
export function symmetryDistance(
  pairs: readonly PointPair[],
  axis: StraightLine,
  rule: SymmetryRule,
): SymmetryDistance {
  const used = rule === 'fixed' ? axis : rule === 'shift' ? shiftedAxis(pairs, axis) : freeAxis(pairs);
  const reflect = mover(reflectionAcross(used));
  const symmetric = pairs.map(([p, q]): PointPair => {
    const folded = midpoint(p, reflect(q));
    return [folded, reflect(folded)];
  });
  const moves = pairs.flatMap((pair, i) => points(pair).map((point, k) => squared(point, symmetric[i]![k]!)));
  const count = moves.length;
  if (count === 0) throw new RangeError('a symmetry distance needs at least one pair');
  const meanSquareMm2 = moves.reduce((sum, square) => sum + square, 0) / count;
  return { rule, axis: used, meanSquareMm2, rmsMm: Math.sqrt(meanSquareMm2), symmetric };
}

function squared(a: PlanePoint, b: PlanePoint): number {
  return (a.x - b.x) ** 2 + (a.y - b.y) ** 2;
}

/** A point paired with itself counts once. */
function points([p, q]: PointPair): readonly PlanePoint[] {
  return p === q ? [p] : [p, q];
}

/** The best place of an axis of given direction: through the mean of all points. */
function shiftedAxis(
  pairs: readonly PointPair[],
  { angleRad }: Pick<StraightLine, 'angleRad'>,
): StraightLine {
  const all = pairs.flatMap(points);
  const mean = (pick: (p: PlanePoint) => number) => all.reduce((sum, p) => sum + pick(p), 0) / all.length;
  return { point: { x: mean(({ x }) => x), y: mean(({ y }) => y) }, angleRad };
}

/** The best axis of all: the mirrored registration of the points on their partners, both ways, is a reflection. */
function freeAxis(pairs: readonly PointPair[]): StraightLine {
  const to = pairs.flatMap(([p, q]) => points([q, p]));
  const { motion } = fitRigid(pairs.flatMap(points), to, { mirrored: true });
  return shiftedAxis(pairs, { angleRad: motion.angleRad / 2 });
}
