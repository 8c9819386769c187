import { mapPath, type Path, reversePath } from './path.ts';
import type { PlanePoint } from './point.ts';
import { directionOf, quarterLeft } from './vector.ts';

/**
 * A motion of the plane that changes no length: flipped over the x axis first when `mirrored`,
 * then turned counter-clockwise by `angleRad` about the origin, then moved by `shift` mm.
 */
export interface RigidMotion {
  readonly mirrored: boolean;
  readonly angleRad: number;
  readonly shift: PlanePoint;
}

/** A straight line without ends: through `point`, in the direction `angleRad` (counter-clockwise from x). */
export interface StraightLine {
  readonly point: PlanePoint;
  readonly angleRad: number;
}

/** A motion as a function, with its sines worked out once. */
export function mover({ mirrored, angleRad, shift }: RigidMotion): (point: PlanePoint) => PlanePoint {
  const { x: c, y: s } = directionOf(angleRad);
  const flip = mirrored ? -1 : 1;
  return ({ x, y }) => ({ x: c * x - s * flip * y + shift.x, y: s * x + c * flip * y + shift.y });
}

/** Moves a path. Mirroring turns an outline's sense round, so a mirrored path is also reversed: outlines stay counter-clockwise. */
export function movePath(path: Path, motion: RigidMotion): Path {
  const moved = mapPath(path, mover(motion));
  return motion.mirrored && path.closed ? reversePath(moved) : moved;
}

/** The motion that does `first`, then `second`. */
export function chainMotions(first: RigidMotion, second: RigidMotion): RigidMotion {
  return {
    mirrored: first.mirrored !== second.mirrored,
    angleRad: second.angleRad + (second.mirrored ? -first.angleRad : first.angleRad),
    shift: mover(second)(first.shift),
  };
}

/** The motion that undoes this one. */
export function undoMotion(motion: RigidMotion): RigidMotion {
  const { mirrored, angleRad, shift } = motion;
  const angle = mirrored ? angleRad : -angleRad;
  const { x, y } = mover({ mirrored, angleRad: angle, shift: { x: 0, y: 0 } })(shift);
  return { mirrored, angleRad: angle, shift: { x: -x, y: -y } };
}

/** The reflection across a line, as a motion. */
export function reflectionAcross(line: StraightLine): RigidMotion {
  const offset = offsetFromLineMm(line, { x: 0, y: 0 });
  const left = quarterLeft(directionOf(line.angleRad));
  return {
    mirrored: true,
    angleRad: 2 * line.angleRad,
    shift: { x: -2 * offset * left.x, y: -2 * offset * left.y },
  };
}

/** Signed distance of a point from a line, mm: positive to the left of the line's direction. */
export function offsetFromLineMm({ point, angleRad }: StraightLine, { x, y }: PlanePoint): number {
  return (y - point.y) * Math.cos(angleRad) - (x - point.x) * Math.sin(angleRad);
}

/** How far along the line's direction a point lies from the line's own point, mm. */
export function alongLineMm({ point, angleRad }: StraightLine, { x, y }: PlanePoint): number {
  return (x - point.x) * Math.cos(angleRad) + (y - point.y) * Math.sin(angleRad);
}

/** The foot of the perpendicular from a point to a line. */
export function footOnLine(line: StraightLine, point: PlanePoint): PlanePoint {
  const along = alongLineMm(line, point);
  const { x, y } = directionOf(line.angleRad);
  return { x: line.point.x + along * x, y: line.point.y + along * y };
}
