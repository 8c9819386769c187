import type { Path, Segment } from './path.ts';
import { lengthAtPlaceMm, type Place } from './place.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { segmentAcceleration, segmentPoint, segmentVelocity } from './segment.ts';
import { dot, minus } from './vector.ts';

export interface NearestOnPath {
  readonly place: Place;
  readonly point: PlanePoint;
  readonly distanceMm: number;
  /** Length of the path from its start to the place, mm. */
  readonly alongMm: number;
}

/** Enough to part the local minima of the distance to a cubic, of which there are at most three inside. */
const CUBIC_SCAN_STEPS = 32;

function nearestOnLine(from: PlanePoint, to: PlanePoint, point: PlanePoint): number {
  const along = minus(to, from);
  const lengthSquared = dot(along, along);
  if (lengthSquared === 0) return 0;
  return Math.min(1, Math.max(0, dot(minus(point, from), along) / lengthSquared));
}

/** Finds where the way to the point stands square on the curve, within the bracket low..high. */
function squareFoot(
  from: PlanePoint,
  segment: Segment,
  point: PlanePoint,
  low: number,
  high: number,
): number {
  let t = (low + high) / 2;
  for (let i = 0; i < 60; i++) {
    const gap = minus(segmentPoint(from, segment, t), point);
    const velocity = segmentVelocity(from, segment, t);
    const slope = dot(gap, velocity);
    if (slope > 0) high = t;
    else low = t;
    const bend = dot(velocity, velocity) + dot(gap, segmentAcceleration(from, segment, t));
    const newton = bend > 0 ? t - slope / bend : Number.NaN;
    const next = newton >= low && newton <= high ? newton : (low + high) / 2;
    if (Math.abs(next - t) < 1e-15) return next;
    t = next;
  }
  return t;
}

function nearestOnCubic(from: PlanePoint, segment: Segment, point: PlanePoint): number {
  const distances: number[] = [];
  for (let i = 0; i <= CUBIC_SCAN_STEPS; i++) {
    distances.push(distanceMm(segmentPoint(from, segment, i / CUBIC_SCAN_STEPS), point));
  }
  let best = { t: 0, distance: Infinity };
  for (let i = 0; i <= CUBIC_SCAN_STEPS; i++) {
    const here = distances[i]!;
    if (here > (distances[i - 1] ?? Infinity) || here > (distances[i + 1] ?? Infinity)) continue;
    const low = Math.max(0, i - 1) / CUBIC_SCAN_STEPS;
    const high = Math.min(CUBIC_SCAN_STEPS, i + 1) / CUBIC_SCAN_STEPS;
    const foot = squareFoot(from, segment, point, low, high);
    for (const t of [foot, i / CUBIC_SCAN_STEPS]) {
      const distance = distanceMm(segmentPoint(from, segment, t), point);
      if (distance < best.distance) best = { t, distance };
    }
  }
  return best.t;
}

/** No point of the segment is nearer than this: the distance to the box round its control points. */
function boxDistanceMm(from: PlanePoint, segment: Segment, point: PlanePoint): number {
  const corners = segment.kind === 'line' ? [from, segment.to] : [from, segment.c1, segment.c2, segment.to];
  const xs = corners.map(({ x }) => x);
  const ys = corners.map(({ y }) => y);
  const dx = Math.max(0, Math.min(...xs) - point.x, point.x - Math.max(...xs));
  const dy = Math.max(0, Math.min(...ys) - point.y, point.y - Math.max(...ys));
  return Math.hypot(dx, dy);
}

/**
 * The point of the path nearest to `point`, exact on the curves themselves (for thousands of queries on
 * one path, index its polyline instead: edge-index.ts). Of equally near points it is the first along the path.
 * Throws for a path without segments.
 */
export function nearestOnPath(path: Path, point: PlanePoint): NearestOnPath {
  let best: { place: Place; point: PlanePoint; distanceMm: number } | undefined;
  let from = path.start;
  for (const [index, segment] of path.segments.entries()) {
    if (!best || boxDistanceMm(from, segment, point) < best.distanceMm) {
      const t =
        segment.kind === 'line'
          ? nearestOnLine(from, segment.to, point)
          : nearestOnCubic(from, segment, point);
      const foot = segmentPoint(from, segment, t);
      const distance = distanceMm(foot, point);
      if (!best || distance < best.distanceMm) {
        best = { place: { segment: index, t }, point: foot, distanceMm: distance };
      }
    }
    from = segment.to;
  }
  if (!best) throw new RangeError('a path without segments has no nearest point');
  return { ...best, alongMm: lengthAtPlaceMm(path, best.place) };
}
