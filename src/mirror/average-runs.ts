import { alignSmoothJoints } from '../geometry/align-smooth.ts';
import { fitSmoothRun } from '../geometry/fit-smooth-run.ts';
import { indexPath } from '../geometry/flat-path.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import type { Path, Segment } from '../geometry/path.ts';
import { distanceMm, midpoint, type PlanePoint } from '../geometry/point.ts';
import { samplePathEvenly } from '../geometry/sample-path.ts';
import { minus, unit } from '../geometry/vector.ts';
import { type MatchedNode, matchNodes, sectionsBetween } from './match-nodes.ts';

/** Averaged curves are fitted this closely, mm. */
const FIT_TOLERANCE_MM = 0.05;
const SPACING_MM = 0.75;
const FEWEST_POINTS = 16;
/** Places in the middle are brought square between both lines this many times. */
const MIDDLE_ROUNDS = 3;

/** Directions of travel wanted at the averaged run's ends, length one. */
export interface RunEnds {
  readonly start?: PlanePoint | undefined;
  readonly end?: PlanePoint | undefined;
}

/**
 * The run half-way between two open runs that begin and end in corresponding places. Corners that both have stay corners, straight
 * runs that both have stay straight; between them, places square across are averaged and fitted anew
 * with cubics (to 0.05 mm). A corner that only one of them has stays a corner, at half its height.
 */
export function averageRuns(a: Path, b: Path, ends: RunEnds = {}): Path {
  const nodes = matchNodes(a, b);
  const sections = sectionsBetween(a, b, nodes);
  const directions = sections.map(([p, q]) => straightDirection(p, q));
  const segments: Segment[] = [];
  sections.forEach(([p, q], i) => {
    const isLast = i === sections.length - 1;
    const joint = isLast ? 'corner' : nodes[i]!.joint;
    const towards = {
      start: i === 0 ? ends.start : smoothDirection(nodes[i - 1]!, directions[i - 1]),
      end: isLast ? ends.end : smoothDirection(nodes[i]!, directions[i + 1]),
    };
    if (directions[i]) segments.push({ kind: 'line', to: midpoint(endOf(p), endOf(q)), joint });
    else segments.push(...fitBetween(p, q, towards, joint));
  });
  return { closed: false, start: midpoint(a.start, b.start), segments };
}

/** The common direction of two straight edges; undefined unless both are straight. */
function straightDirection(p: Path, q: Path): PlanePoint | undefined {
  if (p.segments.length !== 1 || q.segments.length !== 1) return undefined;
  if (p.segments[0]!.kind !== 'line' || q.segments[0]!.kind !== 'line') return undefined;
  return unit(minus(midpoint(endOf(p), endOf(q)), midpoint(p.start, q.start)));
}

/** Where a curve runs on smoothly from a straight edge, it takes the edge's direction. */
function smoothDirection({ joint }: MatchedNode, direction: PlanePoint | undefined): PlanePoint | undefined {
  return joint === 'smooth' ? direction : undefined;
}

const endOf = (path: Path): PlanePoint => path.segments[path.segments.length - 1]?.to ?? path.start;

function fitBetween(p: Path, q: Path, towards: RunEnds, joint: Segment['joint']): Segment[] {
  const middle = middleLine(p, q);
  const alike = averageAlike(p, q, joint);
  if (alike && liesAlong(middle, alike)) return [...alike.segments];
  const kinks = loneCorners(p, q)
    .map((corner) => nearestPoint(middle, corner))
    .filter((index) => index > 1 && index < middle.length - 2)
    .sort((i, j) => i - j);
  const cuts = [0, ...new Set(kinks), middle.length - 1];
  return cuts.slice(1).flatMap((last, i) => {
    const isLast = i === cuts.length - 2;
    const directions = { start: i === 0 ? towards.start : undefined, end: isLast ? towards.end : undefined };
    return fitSmoothRun(
      middle.slice(cuts[i], last + 1),
      directions,
      FIT_TOLERANCE_MM,
      isLast ? joint : 'corner',
    );
  });
}

/** Control points averaged one by one, when both runs are built alike; then nothing need be fitted. */
function averageAlike(p: Path, q: Path, joint: Segment['joint']): Path | undefined {
  if (p.segments.length !== q.segments.length) return undefined;
  const segments: Segment[] = [];
  for (const [i, s] of p.segments.entries()) {
    const t = q.segments[i]!;
    const isLast = i === p.segments.length - 1;
    if (s.kind !== t.kind || (!isLast && s.joint !== t.joint)) return undefined;
    const end = { to: midpoint(s.to, t.to), joint: isLast ? joint : s.joint };
    if (s.kind === 'line' || t.kind === 'line') segments.push({ kind: 'line', ...end });
    else segments.push({ kind: 'cubic', c1: midpoint(s.c1, t.c1), c2: midpoint(s.c2, t.c2), ...end });
  }
  return alignSmoothJoints({ closed: false, start: midpoint(p.start, q.start), segments });
}

function liesAlong(points: readonly PlanePoint[], path: Path): boolean {
  const index = indexPath(path);
  return points.every(({ x, y }) => index.nearest(x, y, FIT_TOLERANCE_MM) !== undefined);
}

/** Points half-way between two runs: first of equal shares of their lengths, then brought square between both. */
function middleLine(p: Path, q: Path): PlanePoint[] {
  const lengths = [pathLengthMm(p), pathLengthMm(q)] as const;
  const count = Math.max(FEWEST_POINTS, Math.ceil(Math.max(...lengths) / SPACING_MM));
  const [ps, qs] = [samplePathEvenly(p, lengths[0] / count), samplePathEvenly(q, lengths[1] / count)];
  const last = Math.min(ps.length, qs.length) - 1;
  let middle = Array.from({ length: last + 1 }, (_, i) => midpoint(ps[i]!.point, qs[i]!.point));
  const [pIndex, qIndex] = [indexPath(p), indexPath(q)];
  const foot = (index: typeof pIndex, { x, y }: PlanePoint) => {
    const { x: fx, y: fy } = index.nearest(x, y)!;
    return { x: fx, y: fy };
  };
  for (let round = 0; round < MIDDLE_ROUNDS; round++) {
    middle = middle.map((point, i) =>
      i === 0 || i === last ? point : midpoint(foot(pIndex, point), foot(qIndex, point)),
    );
  }
  return middle;
}

/** Corners inside a section, which only one of the runs has: each half-way to the other run. */
function loneCorners(p: Path, q: Path): PlanePoint[] {
  const corners = (path: Path, other: Path) => {
    const index = indexPath(other);
    return path.segments
      .slice(0, -1)
      .filter(({ joint }) => joint === 'corner')
      .map(({ to }) => {
        const { x, y } = index.nearest(to.x, to.y)!;
        return midpoint(to, { x, y });
      });
  };
  return [...corners(p, q), ...corners(q, p)];
}

function nearestPoint(points: readonly PlanePoint[], target: PlanePoint): number {
  return points.reduce(
    (best, point, i) => (distanceMm(point, target) < distanceMm(points[best]!, target) ? i : best),
    0,
  );
}
