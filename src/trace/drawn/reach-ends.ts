import { type Path, reversePath, type Segment } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';

/** A last segment is carried on, or cut back, by no more than this share of itself. */
const MOST_SHARE = 0.4;
const STEPS = 400;

const between = (a: PlanePoint, b: PlanePoint, t: number): PlanePoint => ({
  x: a.x + t * (b.x - a.x),
  y: a.y + t * (b.y - a.y),
});

/** The part of a segment from its start to `t`, which may lie past its end (de Casteljau 1959; from memory). */
function upTo(from: PlanePoint, segment: Segment, t: number): Segment {
  if (segment.kind === 'line') return { ...segment, to: between(from, segment.to, t) };
  const { c1, c2, to } = segment;
  const [a, b, c] = [between(from, c1, t), between(c1, c2, t), between(c2, to, t)];
  const [d, e] = [between(a, b, t), between(b, c, t)];
  return { ...segment, c1: a, c2: d, to: between(d, e, t) };
}

function reachingEnd(path: Path, end: PlanePoint): Path {
  const { segments, start } = path;
  const last = segments[segments.length - 1];
  if (!last) return path;
  const from = segments[segments.length - 2]?.to ?? start;
  let best = { segment: last, far: Infinity };
  for (let k = -STEPS; k <= STEPS; k++) {
    const segment = upTo(from, last, 1 + (MOST_SHARE * k) / STEPS);
    const far = Math.hypot(segment.to.x - end.x, segment.to.y - end.y);
    if (far < best.far) best = { segment, far };
  }
  return { ...path, segments: [...segments.slice(0, -1), best.segment] };
}

/**
 * An open path carried on along its own curve, or cut back, to beside where the line was measured to start and end:
 * fitting across the line leaves it free to slide along itself.
 */
export function reachEnds(path: Path, start: PlanePoint, end: PlanePoint): Path {
  return reversePath(reachingEnd(reversePath(reachingEnd(path, end)), start));
}
