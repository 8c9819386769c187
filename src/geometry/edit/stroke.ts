import { fitSmoothRun } from '../fit-smooth-run.ts';
import { type Path, polylinePath, type Segment } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { cross, dot, minus } from '../vector.ts';

/** A hand turns at a corner by more than this, seen over so many times the tolerance to either side. */
const CORNER_TURN_RAD = 1;
const REACH_SHARE = 8;
/** Places farther along than so many are another pass of the hand. */
const AROUND = 12;
/** Shorter runs are left as they are. */
const FEWEST_TO_FIT = 4;

/**
 * The track of a hand, points in order in mm, as a stroke: smooth within `toleranceMm` of it, but for the corners, where
 * the hand turned or went back.
 */
export function strokeOf(track: readonly PlanePoint[], toleranceMm: number): Path {
  const points = track.filter((point, i) => i === 0 || distanceMm(track[i - 1]!, point) > 0);
  if (points.length < FEWEST_TO_FIT) return polylinePath(points, false);
  const stops = [0, ...cornersOf(points, REACH_SHARE * toleranceMm), points.length - 1];
  const segments = stops.slice(1).flatMap((stop, i): readonly Segment[] => {
    const run = points.slice(stops[i], stop + 1);
    return run.length < FEWEST_TO_FIT
      ? polylinePath(run, false).segments
      : fitSmoothRun(run, {}, toleranceMm, 'corner');
  });
  return { closed: false, start: points[0]!, segments };
}

/** Where the track turns most within its reach, and sharply. */
function cornersOf(points: readonly PlanePoint[], reachMm: number): number[] {
  const turns = points.map((_, i) => turnAt(points, i, reachMm));
  return turns.flatMap((turn, i) => {
    if (turn <= CORNER_TURN_RAD) return [];
    const isMost = turns.slice(Math.max(0, i - AROUND), i + AROUND + 1).every((other, k) => {
      const at = Math.max(0, i - AROUND) + k;
      const isNear = at !== i && distanceMm(points[at]!, points[i]!) < reachMm;
      return !isNear || other < turn || (other === turn && at > i);
    });
    return isMost ? [i] : [];
  });
}

function turnAt(points: readonly PlanePoint[], index: number, reachMm: number): number {
  const reach = (way: 1 | -1) => {
    let i = index;
    while (points[i + way] && distanceMm(points[i]!, points[index]!) < reachMm) i += way;
    return points[i]!;
  };
  const come = minus(points[index]!, reach(-1));
  const go = minus(reach(1), points[index]!);
  return Math.abs(Math.atan2(cross(come, go), dot(come, go)));
}
