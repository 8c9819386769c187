import type { PlanePoint } from '../../src/geometry/point.ts';

/** Fourth differences of a cubic's points at even steps are nothing; rounding leaves this much, mm. */
const NOTHING_MM = 1e-6;
/** An ellipse is drawn with four cubics. */
const ELLIPSE_JOINTS = 4;

/** How far a cubic's points run on from a place in a closed polygon; one step where none does. */
function runFrom(polygon: readonly PlanePoint[], from: number): number {
  const count = polygon.length;
  const at = (i: number) => polygon[i % count]!;
  let end = from + 1;
  for (let last = from + 4; last <= from + count; last++) {
    const [a, b, c, d, e] = [at(last - 4), at(last - 3), at(last - 2), at(last - 1), at(last)];
    const x = a.x - 4 * b.x + 6 * c.x - 4 * d.x + e.x;
    const y = a.y - 4 * b.y + 6 * c.y - 4 * d.y + e.y;
    if (Math.hypot(x, y) > NOTHING_MM) break;
    end = last;
  }
  return end;
}

/**
 * How many joints a practice outline was designed with, read from its truth: the truth's points lie at even steps of
 * each designed curve's own parameter, so the fourth differences (which are nothing for a cubic) tell where one curve
 * ends and the next begins. An outline without any such run was no chain of cubics: the practice photos' round opening.
 */
export function designedJoints(polygon: readonly PlanePoint[]): number {
  const count = polygon.length;
  let fewest = Infinity;
  for (let start = 0; start < count; start++) {
    let joints = 0;
    for (let i = start; i < start + count; i = Math.min(runFrom(polygon, i), start + count)) joints++;
    fewest = Math.min(fewest, joints);
  }
  return fewest > count / 2 ? ELLIPSE_JOINTS : fewest;
}
