import type { PlanePoint } from './point.ts';

/** How two segments meet: a `smooth` joint shares its tangent, a `corner` need not. */
export type Joint = 'corner' | 'smooth';

export interface LineSegment {
  readonly kind: 'line';
  readonly to: PlanePoint;
  /** The joint at `to`. */
  readonly joint: Joint;
}

/** A cubic Bezier from the previous point to `to`. */
export interface CubicSegment {
  readonly kind: 'cubic';
  readonly c1: PlanePoint;
  readonly c2: PlanePoint;
  readonly to: PlanePoint;
  /** The joint at `to`. */
  readonly joint: Joint;
}

export type Segment = LineSegment | CubicSegment;

/**
 * Every outline and line in Foamwright, in mm. A closed path's last segment ends exactly
 * at `start`, and that segment's joint is the joint at `start`. Outer outlines run
 * counter-clockwise (y up), holes clockwise.
 */
export interface Path {
  readonly closed: boolean;
  readonly start: PlanePoint;
  readonly segments: readonly Segment[];
}

/** Maps every point of a path (control points too) through `move`, which must be affine. */
export function mapPath(path: Path, move: (point: PlanePoint) => PlanePoint): Path {
  return {
    closed: path.closed,
    start: move(path.start),
    segments: path.segments.map((segment) =>
      segment.kind === 'line'
        ? { ...segment, to: move(segment.to) }
        : { ...segment, c1: move(segment.c1), c2: move(segment.c2), to: move(segment.to) },
    ),
  };
}

/** A path of straight segments with corners through `points`; a closed one needs no repeated first point. */
export function polylinePath(points: readonly PlanePoint[], closed: boolean): Path {
  const [start, ...rest] = points;
  if (!start) throw new Error('polylinePath needs at least one point');
  const ends = closed ? [...rest, start] : rest;
  return { closed, start, segments: ends.map((to) => ({ kind: 'line', to, joint: 'corner' })) };
}

/** The same path run the other way round; an open path's joints stay where they were. */
export function reversePath(path: Path): Path {
  const points = [path.start, ...path.segments.map((segment) => segment.to)];
  const count = path.segments.length;
  const segments: Segment[] = [];
  for (let i = count - 1; i >= 0; i--) {
    const segment = path.segments[i]!;
    const to = points[i]!;
    // The joint at points[i] is kept by the segment before it; at the seam by the last one.
    const joint = i > 0 ? path.segments[i - 1]!.joint : path.segments[count - 1]!.joint;
    segments.push(
      segment.kind === 'line'
        ? { kind: 'line', to, joint }
        : { kind: 'cubic', c1: segment.c2, c2: segment.c1, to, joint },
    );
  }
  return { closed: path.closed, start: points[count]!, segments };
}
