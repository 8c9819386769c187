/** A fold axis as a maker handles it: two ends to drag, a lean and a place to type. */
import { alongLineMm, footOnLine, offsetFromLineMm } from '../../geometry/motion.ts';
import { distanceMm, midpoint, type PlanePoint } from '../../geometry/point.ts';
import { directionOf, plus, quarterLeft, times } from '../../geometry/vector.ts';
import { type FoldLine, foldLine } from '../../mirror/axis.ts';

/** Handles stand this share of the axis' length beyond the piece. */
const BEYOND = 0.1;
/** Ends closer than this give no direction, mm. */
const SHORTEST_MM = 1;

function rangeOf(values: Iterable<number>): readonly [least: number, most: number] {
  let [least, most] = [Infinity, -Infinity];
  for (const value of values) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return [least, most];
}

/** Both ends of the axis, a little beyond the outline: against its direction and along it. */
export function axisEnds(axis: FoldLine, outline: readonly PlanePoint[]): readonly [PlanePoint, PlanePoint] {
  const [least, most] = rangeOf(outline.map((point) => alongLineMm(axis, point)));
  const beyond = BEYOND * (most - least);
  const at = (along: number) => plus(axis.point, times(directionOf(axis.angleRad), along));
  return [at(least - beyond), at(most + beyond)];
}

/** The axis through two points, placed by hand; undefined when they lie too close to tell a direction. */
export function axisThrough(a: PlanePoint, b: PlanePoint): FoldLine | undefined {
  if (distanceMm(a, b) < SHORTEST_MM) return undefined;
  return foldLine({ point: midpoint(a, b), angleRad: Math.atan2(b.y - a.y, b.x - a.x) }, 'by-hand');
}

/** Lean from upright, degrees in -90..90: positive leans to the right. */
export function leanDegrees({ angleRad }: FoldLine): number {
  return 90 - (angleRad * 180) / Math.PI;
}

/** The axis turned to a lean about the place where it stands beside `pivot`. */
export function leanedTo(axis: FoldLine, degrees: number, pivot: PlanePoint): FoldLine {
  const angleRad = ((90 - degrees) * Math.PI) / 180;
  return foldLine({ point: footOnLine(axis, pivot), angleRad }, 'by-hand');
}

/** Distance from the leftmost place of the outline to the axis, square to it, mm. */
export function fromLeftMm(axis: FoldLine, outline: readonly PlanePoint[]): number {
  return rangeOf(outline.map((point) => offsetFromLineMm(axis, point)))[1];
}

/** The axis shifted sideways so that it stands this far from the leftmost place of the outline. */
export function standingFromLeft(axis: FoldLine, outline: readonly PlanePoint[], wantedMm: number): FoldLine {
  const byMm = fromLeftMm(axis, outline) - wantedMm;
  const point = plus(axis.point, times(quarterLeft(directionOf(axis.angleRad)), byMm));
  return foldLine({ ...axis, point }, 'by-hand');
}

/** The rule in force in words, always shown with the figures: another rule gives other figures. */
export function ruleWords({ rule }: Pick<FoldLine, 'rule'>): string {
  switch (rule) {
    case 'free':
      return 'Found by itself: the line about which the piece lies best on itself. It may lean.';
    case 'vertical':
      return 'Kept upright as the piece lies here, and moved sideways to where it fits best.';
    case 'by-hand':
      return 'Placed by hand.';
    case 'through-marks':
      return 'Through two marks on the piece.';
  }
}
