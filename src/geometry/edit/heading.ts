import type { Path } from '../path.ts';
import { type Place, segmentOf, segmentStart } from '../place.ts';
import type { PlanePoint } from '../point.ts';
import { segmentDirection } from '../segment.ts';

/**
 * Direction of travel at a place, length one, also where joints lie on each other and a segment has no length: then that
 * of the nearest segment along the line that has one. A line that is a point runs along x.
 */
export function headingAt(path: Path, { segment, t }: Place): PlanePoint {
  const here = segmentDirection(segmentStart(path, segment), segmentOf(path, segment), t);
  if (here) return here;
  const count = path.segments.length;
  for (let step = 1; step < count; step++) {
    for (const [index, end] of [
      [segment - step, 1],
      [segment + step, 0],
    ] as const) {
      const near = path.closed ? (index + count) % count : index;
      if (near < 0 || near >= count) continue;
      const direction = segmentDirection(segmentStart(path, near), segmentOf(path, near), end);
      if (direction) return direction;
    }
  }
  return { x: 1, y: 0 };
}
