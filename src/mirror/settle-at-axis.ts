import { footOnLine, offsetFromLineMm, type StraightLine } from '../geometry/motion.ts';
import type { CubicSegment, LineSegment, Path, Segment } from '../geometry/path.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { segmentDirection, segmentPoint } from '../geometry/segment.ts';
import { solvePositive } from '../geometry/solve-positive.ts';
import { cross, directionOf, dot, minus, plus, quarterLeft, times } from '../geometry/vector.ts';
import { nearerParameter } from '../geometry/fit-cubic.ts';

/** A straight edge this far from square to the axis is meant to cross it square; beyond, it meets it in a point. */
const SQUARE_WITHIN_RAD = (10 * Math.PI) / 180;
/** Places of the old curve that the new one is fitted to. */
const FIT_POINTS = 40;
const FIT_ROUNDS = 8;
/** The point on the axis counts as much as this many others: both halves show its error. */
const START_WEIGHT = 5;

/** A run whose start was made ready to be joined to its own mirror image. */
export interface Settled {
  readonly run: Path;
  /** False when a slanted straight edge had to become a point on the axis. */
  readonly isSmooth: boolean;
}

/**
 * Makes a run that starts on the axis leave it square, so that it runs on smoothly into its mirror image. A curve keeps its
 * other end and direction there, and is fitted by least squares to where it was; a straight edge is
 * swung about its other end.
 */
export function settleStart(run: Path, axis: StraightLine): Settled {
  const first = run.segments[0]!;
  const side = Math.sign(offsetFromLineMm(axis, segmentPoint(run.start, first, 0.5))) || 1;
  const out = times(quarterLeft(directionOf(axis.angleRad)), side);
  if (first.kind === 'cubic') return { run: settleCurve(run, first, axis, out), isSmooth: true };
  return settleEdge(run, first, axis, out);
}

function settleEdge(run: Path, first: LineSegment, axis: StraightLine, out: PlanePoint): Settled {
  const along = minus(first.to, run.start);
  const slant = Math.abs(Math.atan2(cross(out, along), dot(out, along)));
  if (slant > SQUARE_WITHIN_RAD) return { run, isSmooth: false };
  const start = footOnLine(axis, first.to);
  return {
    run: { ...run, start, segments: [first, ...swingNext(run.segments.slice(1), first, out)] },
    isSmooth: true,
  };
}

/** The curve that follows a straight edge smoothly is turned with it. */
function swingNext(rest: readonly Segment[], edge: LineSegment, direction: PlanePoint): readonly Segment[] {
  const [next, ...others] = rest;
  if (edge.joint !== 'smooth' || next?.kind !== 'cubic') return rest;
  const handle = distanceMm(edge.to, next.c1);
  return [{ ...next, c1: plus(edge.to, times(direction, handle)) }, ...others];
}

function settleCurve(run: Path, first: CubicSegment, axis: StraightLine, out: PlanePoint): Path {
  const leaving = segmentDirection(run.start, first, 0);
  if (leaving && Math.abs(cross(leaving, out)) < 1e-12 && dot(leaving, out) > 0) return run;
  const { start, segment } =
    fitLeavingSquare(run.start, first, directionOf(axis.angleRad), out) ?? turned(run, first, out);
  // Rounding must not leave it beside the axis.
  const foot = footOnLine(axis, start);
  const handle = distanceMm(start, segment.c1);
  return {
    ...run,
    start: foot,
    segments: [{ ...segment, c1: plus(foot, times(out, handle)) }, ...run.segments.slice(1)],
  };
}

/** The plain way: only the handle at the axis is turned. */
function turned(
  run: Path,
  first: CubicSegment,
  out: PlanePoint,
): { start: PlanePoint; segment: CubicSegment } {
  const handle = distanceMm(run.start, first.c1) || distanceMm(run.start, first.to) / 3;
  return { start: run.start, segment: { ...first, c1: plus(run.start, times(out, handle)) } };
}

/**
 * Least squares for three lengths: how far the start slides along the axis, and both handles, the first along `out`, the
 * second in the direction the curve arrives in. Undefined when a handle would turn over.
 */
function fitLeavingSquare(
  from: PlanePoint,
  old: CubicSegment,
  slide: PlanePoint,
  out: PlanePoint,
): { start: PlanePoint; segment: CubicSegment } | undefined {
  const arriving = segmentDirection(from, old, 1);
  if (!arriving) return undefined;
  const targets = Array.from({ length: FIT_POINTS }, (_, i) => segmentPoint(from, old, i / FIT_POINTS));
  const parameters = targets.map((_, i) => i / FIT_POINTS);
  let result: { start: PlanePoint; segment: CubicSegment } | undefined;
  for (let round = 0; round < FIT_ROUNDS; round++) {
    const [slid, first, second] = solveLengths(from, old.to, targets, parameters, [
      slide,
      out,
      times(arriving, -1),
    ]);
    const start = plus(from, times(slide, slid!));
    if (!(first! > 0) || !(second! > 0)) return undefined;
    const segment: CubicSegment = {
      ...old,
      c1: plus(start, times(out, first!)),
      c2: minus(old.to, times(arriving, second!)),
    };
    result = { start, segment };
    bringNearer(parameters, targets, start, segment);
  }
  return result;
}

/** Normal equations of point(t) = (w0 + w1)(from + slide a) + w1 out b + w2 (to + back c) + (w2 + w3 parts of `to`). */
function solveLengths(
  from: PlanePoint,
  to: PlanePoint,
  targets: readonly PlanePoint[],
  parameters: readonly number[],
  [slide, out, back]: readonly [PlanePoint, PlanePoint, PlanePoint],
): number[] {
  const matrix = Array.from({ length: 3 }, () => new Float64Array(3));
  const right = new Float64Array(3);
  targets.forEach((target, i) => {
    const t = parameters[i]!;
    const s = 1 - t;
    const [w0, w1, w2, w3] = [s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t];
    const rest = minus(target, plus(times(from, w0 + w1), times(to, w2 + w3)));
    const columns = [times(slide, w0 + w1), times(out, w1), times(back, w2)];
    const weight = i === 0 ? START_WEIGHT : 1;
    columns.forEach((a, row) => {
      right[row]! += weight * dot(a, rest);
      columns.forEach((b, column) => (matrix[row]![column]! += weight * dot(a, b)));
    });
  });
  const trace = matrix.reduce((sum, row, i) => sum + row[i]!, 0);
  matrix.forEach((row, i) => (row[i]! += 1e-12 * trace));
  return solvePositive(matrix, right);
}

function bringNearer(
  parameters: number[],
  targets: readonly PlanePoint[],
  start: PlanePoint,
  { c1, c2, to }: CubicSegment,
): void {
  const controls = [start.x, start.y, c1.x, c1.y, c2.x, c2.y, to.x, to.y];
  targets.forEach(({ x, y }, i) => {
    if (i > 0) parameters[i] = nearerParameter(controls, parameters[i]!, x, y);
  });
}
