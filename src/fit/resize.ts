import type { PieceLine } from '../geometry/line-kinds.ts';
import { mapPath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { StraightLine } from '../geometry/motion.ts';
import { directionOf, minus, plus } from '../geometry/vector.ts';

/** An even or one-way stretch of a piece about a point that stays where it is. */
export interface Stretch {
  readonly about: PlanePoint;
  /** Direction of the stretch, rad. */
  readonly alongRad: number;
  readonly alongFactor: number;
  readonly acrossFactor: number;
}

/** The point map of a stretch: affine, so straight lines stay straight, cubics cubic and smooth joints smooth. */
export function stretcher(stretch: Stretch): (point: PlanePoint) => PlanePoint {
  const { about, alongFactor, acrossFactor } = stretch;
  const d = directionOf(stretch.alongRad);
  return ({ x, y }) => {
    const along = alongFactor * ((x - about.x) * d.x + (y - about.y) * d.y);
    const across = acrossFactor * ((y - about.y) * d.x - (x - about.x) * d.y);
    return { x: about.x + along * d.x - across * d.y, y: about.y + along * d.y + across * d.x };
  };
}

/** A straight line, such as the fold axis, carried along with the piece. */
export function stretchAxis<T extends StraightLine>(axis: T, stretch: Stretch): T {
  const move = stretcher(stretch);
  const point = move(axis.point);
  const ahead = minus(move(plus(axis.point, directionOf(axis.angleRad))), point);
  return { ...axis, point, angleRad: Math.atan2(ahead.y, ahead.x) };
}

/** All lines of a piece stretched alike: cut line, openings, score lines, marks. */
export function stretchLines(lines: readonly PieceLine[], stretch: Stretch): PieceLine[] {
  const move = stretcher(stretch);
  return lines.map((line) => ({ ...line, path: mapPath(line.path, move) }));
}
