import { fitSmoothRun } from '../fit-smooth-run.ts';
import type { Joint, Path, Segment } from '../path.ts';
import { segmentStart } from '../place.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { cross, dot, minus, mix, unit } from '../vector.ts';

/** Direction of a straight segment, length one. */
export type Heading = PlanePoint;

/** The directions of a path's straight segments, which a line at equal distance shares. */
export function headingsOfLines(path: Path): Heading[] {
  return path.segments.flatMap((segment, i) => {
    const heading = segment.kind === 'line' ? unit(minus(segment.to, segmentStart(path, i))) : undefined;
    return heading ? [heading] : [];
  });
}

/** A finely flattened curve turns less than this from edge to edge, a corner more. */
const CORNER_TURN_RAD = 0.2;
/** Smooth runs are fitted to this, mm. */
const FIT_MM = 0.01;
/** Edges shorter than this are crumbs of the rounding, mm. */
const CRUMB_MM = 1e-3;
/** An edge counts as straight where it is at least this long and turned from a heading by no more than the rounding, mm. */
const STRAIGHT_MM = 0.1;
const ROUNDING_MM = 4e-5;

/**
 * A path through a finely flattened line: corners where it turns sharply, straight segments along the headings given,
 * cubics within 0.01 mm elsewhere, joined smoothly.
 */
export function refitPolyline(
  polyline: readonly PlanePoint[],
  closed: boolean,
  headings: readonly Heading[],
): Path {
  const points = withoutCrumbs(polyline, closed);
  const corners = cornersOf(points, closed);
  const seam = corners[0] ?? 0;
  const ring = closed ? [...points.slice(seam), ...points.slice(0, seam), points[seam]!] : points;
  const isSeamless = closed && corners.length === 0;
  const stops = closed
    ? [...corners.map((corner) => corner - seam), ring.length - 1]
    : [0, ...corners, ring.length - 1];
  if (isSeamless) stops.unshift(0);
  const segments: Segment[] = [];
  for (let i = 1; i < stops.length; i++) {
    const run = ring.slice(stops[i - 1], stops[i]! + 1);
    segments.push(...segmentsOfRun(run, headings, isSeamless));
  }
  return { closed, start: ring[0]!, segments };
}

function withoutCrumbs(points: readonly PlanePoint[], closed: boolean): PlanePoint[] {
  const kept: PlanePoint[] = [];
  for (const point of points) {
    if (kept.length === 0 || distanceMm(kept.at(-1)!, point) > CRUMB_MM) kept.push(point);
  }
  if (closed && kept.length > 3 && distanceMm(kept.at(-1)!, kept[0]!) <= CRUMB_MM) kept.pop();
  return kept;
}

function cornersOf(points: readonly PlanePoint[], closed: boolean): number[] {
  const count = points.length;
  return points.flatMap((point, i) => {
    if (!closed && (i === 0 || i === count - 1)) return [];
    const come = minus(point, points[(i + count - 1) % count]!);
    const go = minus(points[(i + 1) % count]!, point);
    return Math.abs(Math.atan2(cross(come, go), dot(come, go))) > CORNER_TURN_RAD ? [i] : [];
  });
}

function isAlong(from: PlanePoint, to: PlanePoint, headings: readonly Heading[]): boolean {
  const edge = minus(to, from);
  return (
    Math.hypot(edge.x, edge.y) >= STRAIGHT_MM &&
    headings.some((heading) => Math.abs(cross(heading, edge)) <= ROUNDING_MM)
  );
}

/** Straight edges and the smooth stretches between them; the run ends in a corner, or in the seam of a smooth ring. */
function segmentsOfRun(
  run: readonly PlanePoint[],
  headings: readonly Heading[],
  isSeamless: boolean,
): Segment[] {
  const last = run.length - 1;
  const isStraight = run.slice(1).map((to, i) => last === 1 || isAlong(run[i]!, to, headings));
  const seam = isSeamless ? unit(minus(run[1]!, run[last - 1]!)) : undefined;
  const segments: Segment[] = [];
  const lastJoint: Joint = isSeamless ? 'smooth' : 'corner';
  const jointAt = (index: number): Joint => (index === last ? lastJoint : 'smooth');
  const headingAt = (edge: number) =>
    isStraight[edge] ? unit(minus(run[edge + 1]!, run[edge]!)) : undefined;
  for (let i = 0; i < last; ) {
    if (isStraight[i]) {
      segments.push({ kind: 'line', to: run[i + 1]!, joint: jointAt(i + 1) });
      i++;
      continue;
    }
    let end = i;
    while (end < last && !isStraight[end]) end++;
    const start = i === 0 ? seam : headingAt(i - 1);
    const directions = { start, end: end === last ? seam : headingAt(end) };
    segments.push(...fitSmoothRun(inSteps(run.slice(i, end + 1)), directions, FIT_MM, jointAt(end)));
    i = end;
  }
  return segments;
}

/** Longer edges are parted, mm: the fitting looks at points alone, and would not see what it does between two far ones. */
const LONGEST_STEP_MM = 1;

function inSteps(points: readonly PlanePoint[]): PlanePoint[] {
  return points.flatMap((to, i) => {
    if (i === 0) return [to];
    const from = points[i - 1]!;
    const steps = Math.ceil(distanceMm(from, to) / LONGEST_STEP_MM);
    if (steps < 2) return [to];
    return Array.from({ length: steps }, (_, step) =>
      step + 1 < steps ? mix(from, to, (step + 1) / steps) : to,
    );
  });
}
