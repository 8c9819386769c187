import { movePath, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import { nearestOnPath } from '../geometry/nearest.ts';
import { type Path, reversePath } from '../geometry/path.ts';
import { tangentAt } from '../geometry/place.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { startAt, subPath } from '../geometry/split-path.ts';
import { directionOf, plus, quarterLeft, times, unit } from '../geometry/vector.ts';
import { averageRuns } from './average-runs.ts';
import { closedHalf, openHalf } from './half-run.ts';
import type { RunToMirror } from './join-mirrored.ts';

/** The average of a closed line's halves, as a run on the left half ready to be mirrored; undefined unless it crosses the axis twice. */
export function averageClosedHalves(path: Path, axis: StraightLine, snapMm: number): RunToMirror | undefined {
  const left = closedHalf(path, axis, 'left', snapMm);
  const right = closedHalf(path, axis, 'right', snapMm);
  if (!left || !right) return undefined;
  const mirrored = reversePath(movePath(right.run, reflectionAcross(axis)));
  // Left of the axis, an outline run counter-clockwise leaves it square to the left and comes back to the right.
  const out = quarterLeft(directionOf(axis.angleRad));
  const startJoint = left.startJoint === 'corner' || right.endJoint === 'corner' ? 'corner' : 'smooth';
  const endJoint = left.endJoint === 'corner' || right.startJoint === 'corner' ? 'corner' : 'smooth';
  const run = averageRuns(left.run, mirrored, {
    start: startJoint === 'smooth' && !startsStraight(left.run, mirrored) ? out : undefined,
    end:
      endJoint === 'smooth' && !startsStraight(reversePath(left.run), reversePath(mirrored))
        ? times(out, -1)
        : undefined,
  });
  return { run, startJoint, endJoint };
}

/** The average of an open line's halves on the left half, from the axis outwards; undefined unless it crosses once. */
export function averageOpenHalves(path: Path, axis: StraightLine, snapMm: number): RunToMirror | undefined {
  const left = openHalf(path, axis, 'left', snapMm);
  const right = openHalf(path, axis, 'right', snapMm);
  if (!left || !right) return undefined;
  const run = averageRuns(left.run, movePath(right.run, reflectionAcross(axis)));
  return { run, startJoint: left.joint === 'corner' || right.joint === 'corner' ? 'corner' : 'smooth' };
}

function startsStraight(a: Path, b: Path): boolean {
  return a.segments[0]!.kind === 'line' && b.segments[0]!.kind === 'line';
}

/** The line half-way between two lines lying on each other, both closed or both open. */
export function averageLines(a: Path, b: Path): Path {
  if (!a.closed) return averageRuns(a, alongside(a, b));
  const corner = a.segments.findIndex(({ joint }) => joint === 'corner');
  const count = a.segments.length;
  const first = corner >= 0 ? startAt(a, { segment: (corner + 1) % count, t: 0 }) : a;
  const facing = nearestCornerOr(b, first.start, corner >= 0);
  const second = startAt(b, facing);
  const direction =
    corner >= 0
      ? undefined
      : between(tangentAt(first, { segment: 0, t: 0 }), tangentAt(second, { segment: 0, t: 0 }));
  const run = averageRuns(opened(first), opened(second), { start: direction, end: direction });
  const last = run.segments.length - 1;
  const segments = run.segments.map((s, i) =>
    i === last ? { ...s, to: run.start, joint: corner >= 0 ? ('corner' as const) : ('smooth' as const) } : s,
  );
  return { closed: true, start: run.start, segments };
}

/** A closed path as the open run once round it. */
function opened(path: Path): Path {
  return subPath(path, { segment: 0, t: 0 }, { segment: path.segments.length - 1, t: 1 });
}

/** `b` run the same way as `a`. */
function alongside(a: Path, b: Path): Path {
  const end = (path: Path) => path.segments[path.segments.length - 1]?.to ?? path.start;
  const apart = (p: PlanePoint, q: PlanePoint) => Math.hypot(p.x - q.x, p.y - q.y);
  const same = apart(a.start, b.start) + apart(end(a), end(b));
  const crossed = apart(a.start, end(b)) + apart(end(a), b.start);
  return same <= crossed ? b : reversePath(b);
}

function between(a: PlanePoint, b: PlanePoint): PlanePoint {
  return unit(plus(a, b)) ?? a;
}

/** The place of a path nearest to a point; a corner near it is preferred when one is wanted. */
function nearestCornerOr(
  path: Path,
  point: PlanePoint,
  wantsCorner: boolean,
): { segment: number; t: number } {
  const nearest = nearestOnPath(path, point);
  if (!wantsCorner) return nearest.place;
  const corners = path.segments.flatMap(({ joint, to }, segment) =>
    joint === 'corner' ? [{ segment, apartMm: Math.hypot(to.x - point.x, to.y - point.y) }] : [],
  );
  const [best] = corners.sort((a, b) => a.apartMm - b.apartMm);
  const isNear = best && best.apartMm < nearest.distanceMm + NEAR_CORNER_MM;
  return isNear ? { segment: (best.segment + 1) % path.segments.length, t: 0 } : nearest.place;
}

/** A corner may lie this much farther off than the nearest edge and still be the one meant, mm. */
const NEAR_CORNER_MM = 8;
