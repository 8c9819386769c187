import type { PlanePoint } from './point.ts';

/** Small sums on points and displacements of the plane, mm. */

export function plus(a: PlanePoint, b: PlanePoint): PlanePoint {
  return { x: a.x + b.x, y: a.y + b.y };
}

export function minus(a: PlanePoint, b: PlanePoint): PlanePoint {
  return { x: a.x - b.x, y: a.y - b.y };
}

export function times(a: PlanePoint, factor: number): PlanePoint {
  return { x: a.x * factor, y: a.y * factor };
}

/** The point `t` of the way from a to b; exact at both ends. */
export function mix(a: PlanePoint, b: PlanePoint, t: number): PlanePoint {
  return { x: a.x * (1 - t) + b.x * t, y: a.y * (1 - t) + b.y * t };
}

export function dot(a: PlanePoint, b: PlanePoint): number {
  return a.x * b.x + a.y * b.y;
}

/** Positive when b lies to the left of a. */
export function cross(a: PlanePoint, b: PlanePoint): number {
  return a.x * b.y - a.y * b.x;
}

/** Turned a quarter to the left. */
export function quarterLeft(a: PlanePoint): PlanePoint {
  return { x: -a.y, y: a.x };
}

/** Length one in the same direction; undefined for a zero vector, which has no direction. */
export function unit(a: PlanePoint): PlanePoint | undefined {
  const length = Math.hypot(a.x, a.y);
  return length > 0 ? { x: a.x / length, y: a.y / length } : undefined;
}

/** Length one in the direction `angleRad`, counter-clockwise from x. */
export function directionOf(angleRad: number): PlanePoint {
  return { x: Math.cos(angleRad), y: Math.sin(angleRad) };
}
