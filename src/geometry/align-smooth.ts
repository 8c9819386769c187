import type { Path, Segment } from './path.ts';
import { segmentStart } from './place.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { minus, plus, times, unit } from './vector.ts';

/**
 * Turns the handles on either side of every inner smooth joint into one direction, their lengths kept: half-way
 * between the two, or that of a straight neighbour. Corners, ends and points stay where they are.
 */
export function alignSmoothJoints(path: Path): Path {
  const segments: Segment[] = [...path.segments];
  for (let i = 0; i + 1 < segments.length; i++) {
    const [before, after] = [segments[i]!, segments[i + 1]!];
    if (before.joint !== 'smooth') continue;
    const direction = directionThrough(segmentStart({ ...path, segments }, i), before, after);
    if (!direction) continue;
    if (before.kind === 'cubic') {
      const handle = distanceMm(before.c2, before.to);
      segments[i] = { ...before, c2: minus(before.to, times(direction, handle)) };
    }
    if (after.kind === 'cubic') {
      const handle = distanceMm(before.to, after.c1);
      segments[i + 1] = { ...after, c1: plus(before.to, times(direction, handle)) };
    }
  }
  return { ...path, segments };
}

function directionThrough(from: PlanePoint, before: Segment, after: Segment): PlanePoint | undefined {
  if (before.kind === 'line' && after.kind === 'line') return undefined;
  if (before.kind === 'line') return unit(minus(before.to, from));
  if (after.kind === 'line') return unit(minus(after.to, before.to));
  const [arriving, leaving] = [unit(minus(before.to, before.c2)), unit(minus(after.c1, before.to))];
  return arriving && leaving ? unit(plus(arriving, leaving)) : undefined;
}
