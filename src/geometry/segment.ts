import type { Joint, Segment } from './path.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { minus, mix, plus, times, unit } from './vector.ts';

/**
 * One segment of a path as a curve over t in 0..1. A segment does not hold its own start,
 * so each function takes it as `from`.
 */

/** The point at `t`, mm. */
export function segmentPoint(from: PlanePoint, segment: Segment, t: number): PlanePoint {
  if (segment.kind === 'line') return mix(from, segment.to, t);
  const s = 1 - t;
  const [w0, w1, w2, w3] = [s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t];
  const { c1, c2, to } = segment;
  return {
    x: w0 * from.x + w1 * c1.x + w2 * c2.x + w3 * to.x,
    y: w0 * from.y + w1 * c1.y + w2 * c2.y + w3 * to.y,
  };
}

/** First derivative by t, mm. */
export function segmentVelocity(from: PlanePoint, segment: Segment, t: number): PlanePoint {
  if (segment.kind === 'line') return minus(segment.to, from);
  const s = 1 - t;
  const { c1, c2, to } = segment;
  const [w0, w1, w2] = [3 * s * s, 6 * s * t, 3 * t * t];
  return {
    x: w0 * (c1.x - from.x) + w1 * (c2.x - c1.x) + w2 * (to.x - c2.x),
    y: w0 * (c1.y - from.y) + w1 * (c2.y - c1.y) + w2 * (to.y - c2.y),
  };
}

/** Second derivative by t, mm. */
export function segmentAcceleration(from: PlanePoint, segment: Segment, t: number): PlanePoint {
  if (segment.kind === 'line') return { x: 0, y: 0 };
  const { c1, c2, to } = segment;
  const first = plus(minus(c2, times(c1, 2)), from);
  const second = plus(minus(to, times(c2, 2)), c1);
  return times(mix(first, second, t), 6);
}

/**
 * Direction of travel at `t`, length one. Where control points coincide and the speed falls to
 * nothing, it is the direction the curve leaves or arrives in; undefined only for a segment that is a point.
 */
export function segmentDirection(from: PlanePoint, segment: Segment, t: number): PlanePoint | undefined {
  const velocity = segmentVelocity(from, segment, t);
  const size = segmentSize(from, segment);
  if (Math.hypot(velocity.x, velocity.y) > 1e-9 * size) return unit(velocity);
  const acceleration = times(segmentAcceleration(from, segment, t), t > 0.5 ? -1 : 1);
  if (Math.hypot(acceleration.x, acceleration.y) > 1e-9 * size) return unit(acceleration);
  return unit(minus(segment.to, from));
}

/** Length of the control polygon, mm: never shorter than the segment. */
export function segmentSize(from: PlanePoint, segment: Segment): number {
  if (segment.kind === 'line') return distanceMm(from, segment.to);
  return (
    distanceMm(from, segment.c1) + distanceMm(segment.c1, segment.c2) + distanceMm(segment.c2, segment.to)
  );
}

/** The two parts of a segment on either side of `t` (de Casteljau); they meet in `middleJoint`. */
export function splitSegment(
  from: PlanePoint,
  segment: Segment,
  t: number,
  middleJoint: Joint = 'smooth',
): readonly [Segment, Segment] {
  if (segment.kind === 'line') {
    return [{ kind: 'line', to: mix(from, segment.to, t), joint: middleJoint }, segment];
  }
  const { c1, c2, to } = segment;
  const a = mix(from, c1, t);
  const b = mix(c1, c2, t);
  const c = mix(c2, to, t);
  const ab = mix(a, b, t);
  const bc = mix(b, c, t);
  return [
    { kind: 'cubic', c1: a, c2: ab, to: mix(ab, bc, t), joint: middleJoint },
    { ...segment, c1: bc, c2: c },
  ];
}

/** The part of a segment from t = `t0` to `t1` (t0 < t1), with its start. Its end joint is the segment's only at t1 = 1. */
export function segmentPart(
  from: PlanePoint,
  segment: Segment,
  t0: number,
  t1: number,
): { readonly from: PlanePoint; readonly segment: Segment } {
  const head = t1 < 1 ? splitSegment(from, segment, t1)[0] : segment;
  if (t0 <= 0) return { from, segment: head };
  const cut = t0 / Math.min(1, t1);
  const [before, after] = splitSegment(from, head, cut);
  return { from: before.to, segment: after };
}
