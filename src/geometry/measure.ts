import { segmentLengthsMm } from './arc-length.ts';
import type { Path } from './path.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { cross, minus } from './vector.ts';

/** Polylines made from a path lie no farther from it than this unless told otherwise. */
const FLATTENING_TOLERANCE_MM = 0.01;

/**
 * Appends points of a cubic after `from` up to and including `to`.
 * The step count follows from the second differences: a cubic cut into n equal parameter steps lies
 * within max|second difference| * 6 / (8 n^2) of its chords (de Boor, A Practical Guide to Splines; from memory).
 */
function flattenCubic(
  from: PlanePoint,
  c1: PlanePoint,
  c2: PlanePoint,
  to: PlanePoint,
  toleranceMm: number,
  into: PlanePoint[],
): void {
  const bend = Math.max(
    Math.hypot(from.x - 2 * c1.x + c2.x, from.y - 2 * c1.y + c2.y),
    Math.hypot(c1.x - 2 * c2.x + to.x, c1.y - 2 * c2.y + to.y),
  );
  const steps = Math.max(1, Math.ceil(Math.sqrt((0.75 * bend) / toleranceMm)));
  for (let i = 1; i < steps; i++) {
    const t = i / steps;
    const s = 1 - t;
    const [w0, w1, w2, w3] = [s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t];
    into.push({
      x: w0 * from.x + w1 * c1.x + w2 * c2.x + w3 * to.x,
      y: w0 * from.y + w1 * c1.y + w2 * c2.y + w3 * to.y,
    });
  }
  into.push(to);
}

/**
 * The polyline of a path, mm, within `toleranceMm` of it. A closed path's polyline does NOT repeat its
 * first point; an open one runs from start to end.
 */
export function flattenPath(path: Path, toleranceMm = FLATTENING_TOLERANCE_MM): PlanePoint[] {
  const points: PlanePoint[] = [path.start];
  let from = path.start;
  for (const segment of path.segments) {
    if (segment.kind === 'line') points.push(segment.to);
    else flattenCubic(from, segment.c1, segment.c2, segment.to, toleranceMm, points);
    from = segment.to;
  }
  if (path.closed && points.length > 1) points.pop();
  return points;
}

/** Length of a polyline in mm. */
export function polylineLengthMm(points: readonly PlanePoint[], closed: boolean): number {
  let length = 0;
  for (let i = 1; i < points.length; i++) length += distanceMm(points[i - 1]!, points[i]!);
  if (closed && points.length > 1) length += distanceMm(points[points.length - 1]!, points[0]!);
  return length;
}

/** Signed area of a polygon in mm2 (shoelace): positive when it runs counter-clockwise, y up. */
export function polygonAreaMm2(points: readonly PlanePoint[]): number {
  let twice = 0;
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const a = points[j]!;
    const b = points[i]!;
    twice += a.x * b.y - b.x * a.y;
  }
  return twice / 2;
}

/** Length of a path in mm, exact on its curves to about twelve figures. */
export function pathLengthMm(path: Path): number {
  return segmentLengthsMm(path).reduce((sum, length) => sum + length, 0);
}

/**
 * Signed area of a closed path in mm2, exact on its curves; positive counter-clockwise. By Green's theorem
 * the sector between a cubic and the origin is a sum of cross products of its control points.
 */
export function pathAreaMm2(path: Path): number {
  // Measured from the start, so that places far from the origin keep their figures.
  const origin = path.start;
  let from: PlanePoint = { x: 0, y: 0 };
  let area = 0;
  for (const segment of path.segments) {
    const to = minus(segment.to, origin);
    if (segment.kind === 'line') area += cross(from, to) / 2;
    else {
      const c1 = minus(segment.c1, origin);
      const c2 = minus(segment.c2, origin);
      area +=
        (6 * cross(from, c1) +
          3 * cross(from, c2) +
          cross(from, to) +
          3 * cross(c1, c2) +
          3 * cross(c1, to) +
          6 * cross(c2, to)) /
        20;
    }
    from = to;
  }
  return area;
}

export interface Bounds {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** Smallest upright rectangle round the points, mm. */
export function boundsOf(points: Iterable<PlanePoint>): Bounds {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of points) {
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  }
  return { minX, minY, maxX, maxY };
}

/** True when the point lies inside the polygon (even-odd rule). */
export function isInside(point: PlanePoint, polygon: readonly PlanePoint[]): boolean {
  let inside = false;
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const a = polygon[i]!;
    const b = polygon[j]!;
    if (a.y > point.y !== b.y > point.y && point.x < ((b.x - a.x) * (point.y - a.y)) / (b.y - a.y) + a.x) {
      inside = !inside;
    }
  }
  return inside;
}
