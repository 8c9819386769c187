import { footOnLine, type StraightLine } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';

/** Where a fold axis comes from: found with nothing held fixed, set by the maker, found but kept upright, or through two marks. */
export type AxisRule = 'free' | 'by-hand' | 'vertical' | 'through-marks';

/**
 * The line a piece is folded on. `angleRad` lies in 0 (included) to pi (excluded), so the axis points up (or
 * along x), and its left half is the one on the left as seen by a maker when the axis stands upright.
 */
export interface FoldLine extends StraightLine {
  readonly rule: AxisRule;
}

/** The half of the plane a point or stretch belongs to. */
export type Half = 'left' | 'right';

/** An axis with its angle brought to 0..pi and its point moved along it to beside `near`. */
export function foldLine(line: StraightLine, rule: AxisRule, near: PlanePoint = line.point): FoldLine {
  const turns = line.angleRad / Math.PI;
  const angleRad = (turns - Math.floor(turns)) * Math.PI;
  return { point: footOnLine(line, near), angleRad: angleRad >= Math.PI ? 0 : angleRad, rule };
}
