import { median } from '../geometry/median.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { wrap } from './contour.ts';

/** A step this many times the usual one is a gap, and a gap longer than this is left straight, mm. */
const GAP_STEPS = 3;
const LONGEST_GAP_MM = 12;
/** Points either side that give the line's direction there. */
const DIRECTION_REACH = 6;
/** Where the line turns by more than this over a gap there may be a corner in it, which is not guessed; radians. */
const MOST_TURN = 1.2;

/** A turn is carried on by no more than this, radians. */
const MOST_CARRIED = 0.25;

interface Bridge {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly angleFrom: number;
  readonly angleTo: number;
  readonly lengthMm: number;
}

function angleBetween(a: PlanePoint, b: PlanePoint): number {
  return Math.atan2(b.y - a.y, b.x - a.x);
}

/** The cubic with the ends' directions, as long at each end as the gap (Hermite form). */
function placeOn({ from, to, angleFrom, angleTo, lengthMm }: Bridge, t: number): PlanePoint {
  const [start, end] = [(1 - t) ** 2 * (1 + 2 * t), t * t * (3 - 2 * t)];
  const [leaving, arriving] = [lengthMm * t * (1 - t) ** 2, lengthMm * t * t * (t - 1)];
  return {
    x: start * from.x + end * to.x + leaving * Math.cos(angleFrom) + arriving * Math.cos(angleTo),
    y: start * from.y + end * to.y + leaving * Math.sin(angleFrom) + arriving * Math.sin(angleTo),
  };
}

/** An angle brought into -pi..pi. */
const turnOf = (angle: number): number => Math.atan2(Math.sin(angle), Math.cos(angle));

/**
 * The line's direction at point `i`, seen from the side that `side` (1 or -1) leads to, on along the line: a chord has
 * the direction of its middle, so the turn from one chord to the next is carried on by half.
 */
function directionAt(points: readonly PlanePoint[], i: number, side: 1 | -1): number {
  const [own, next, last] = [0, 1, 2].map(
    (k) => points[wrap(i + side * k * DIRECTION_REACH, points.length)]!,
  ) as [PlanePoint, PlanePoint, PlanePoint];
  const near = side === 1 ? angleBetween(own, next) : angleBetween(next, own);
  const far = side === 1 ? angleBetween(next, last) : angleBetween(last, next);
  return near + Math.max(-MOST_CARRIED, Math.min(MOST_CARRIED, turnOf(near - far) / 2));
}

/**
 * Bridges the gaps in a closed line of measured points (mm) where the edge could not be seen: with a smooth curve from
 * one side to the other in place of a straight cut, so that a round opening stays round. Long gaps and those with a
 * sharp turn stay as they are. `keep` and `insert` are called in order for the points of the line and the new ones.
 */
export function bridgeGaps(
  points: readonly PlanePoint[],
  keep: (index: number) => void,
  insert: (point: PlanePoint) => void,
): void {
  const count = points.length;
  const steps = points.map((point, i) => {
    const next = points[wrap(i + 1, count)]!;
    return Math.hypot(next.x - point.x, next.y - point.y);
  });
  const usual = median(steps);
  for (const [i, from] of points.entries()) {
    keep(i);
    const lengthMm = steps[i]!;
    if (lengthMm < GAP_STEPS * usual || lengthMm > LONGEST_GAP_MM) continue;
    const to = points[wrap(i + 1, count)]!;
    const angleFrom = directionAt(points, i, -1);
    const angleTo = directionAt(points, i + 1, 1);
    if (Math.abs(turnOf(angleTo - angleFrom)) > MOST_TURN) continue;
    const parts = Math.round(lengthMm / usual);
    for (let k = 1; k < parts; k++) {
      insert(placeOn({ from, to, angleFrom, angleTo, lengthMm }, k / parts));
    }
  }
}
