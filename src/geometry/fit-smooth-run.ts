import {
  chordParameters,
  type CubicControls,
  evaluateCubic,
  fitCubic,
  nearerParameter,
  type PointRun,
} from './fit-cubic.ts';
import type { CubicSegment, Segment } from './path.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { cross, dot, minus, plus, times, unit } from './vector.ts';

/** Directions of travel that the fitted line must have at its ends, length one; found from the points when left out. */
export interface EndDirections {
  readonly start?: PlanePoint | undefined;
  readonly end?: PlanePoint | undefined;
}

/** Parameters are brought to the nearest places of the curve this many times. */
const ROUNDS = 6;
/** A cubic takes at least this many steps from point to point. */
const FEWEST_STEPS = 3;
/** How often the tolerance is halved to spread the cubics. */
const BALANCE_ROUNDS = 6;
/** Directions are read from this many points to either side. */
const DIRECTION_REACH = 6;
/** A run bulging less than this share of the tolerance is a straight line, if its ends may point that way. */
const STRAIGHT_SHARE = 0.3;
const STRAIGHT_TURN_RAD = 0.004;

/**
 * Few cubics (or one straight segment) through points in order, mm, smooth all the way, within `toleranceMm` of every
 * point: least squares with fixed end directions (Schneider, Graphics Gems, 1990), each cubic taken as far as it
 * fits, then the same number of cubics spread so that all fit about equally well. The first point is not
 * among the segments, the last is; its joint is `lastJoint`.
 */
export function fitSmoothRun(
  points: readonly PlanePoint[],
  { start, end }: EndDirections,
  toleranceMm: number,
  lastJoint: Segment['joint'],
): Segment[] {
  if (points.length < 2) throw new RangeError('a run to be fitted needs at least two points');
  if (isStraight(points, { start, end }, STRAIGHT_SHARE * toleranceMm)) {
    return [{ kind: 'line', to: points[points.length - 1]!, joint: lastJoint }];
  }
  const run = { xs: Float64Array.from(points, ({ x }) => x), ys: Float64Array.from(points, ({ y }) => y) };
  const last = points.length - 1;
  const directions = new Map<number, PlanePoint>();
  const directionOf = (index: number): PlanePoint => {
    if (index === 0 && start) return start;
    if (index === last && end) return end;
    const known = directions.get(index) ?? directionAt(points, run, index);
    directions.set(index, known);
    return known;
  };
  // Tried at several tolerances, the same parts come up again: a part's fit does not depend on the tolerance.
  const fits = new Map<number, PartFit>();
  const fitOf = (from: number, to: number): PartFit => {
    const key = from * points.length + to;
    const fit = fits.get(key) ?? fitPart(run, from, to, directionOf);
    fits.set(key, fit);
    return fit;
  };
  const source: Source = { points, fitOf };
  let best = fitGreedily(source, toleranceMm, lastJoint);
  // The same number of cubics at a smaller tolerance: the last one no longer is a scrap.
  let [tooSmall, enough] = [0, toleranceMm];
  for (let i = 0; i < BALANCE_ROUNDS && best.length > 1; i++) {
    const tried = (tooSmall + enough) / 2;
    const fitted = fitGreedily(source, tried, lastJoint, best.length);
    if (fitted.length > best.length) tooSmall = tried;
    else [best, enough] = [fitted, tried];
  }
  return best;
}

interface Source {
  readonly points: readonly PlanePoint[];
  readonly fitOf: (first: number, last: number) => PartFit;
}

/** The cubic from one point to the point `last`, and how far it misses those between, mm. */
interface PartFit {
  readonly last: number;
  readonly controls: CubicControls;
  readonly misfitMm: number;
}

interface Part {
  readonly first: number;
  readonly last: number;
  readonly start: PlanePoint;
  readonly end: PlanePoint;
}

/** Cubics from the start on, each as long as it fits; gives up once there are more than `most`. */
function fitGreedily(
  source: Source,
  toleranceMm: number,
  lastJoint: Segment['joint'],
  most = Infinity,
): Segment[] {
  const segments: Segment[] = [];
  const end = source.points.length - 1;
  let first = 0;
  while (first < end && segments.length <= most) {
    const { last, controls } = longestFit(source, first, toleranceMm);
    segments.push(toSegment(controls, source.points[last]!, last === end ? lastJoint : 'smooth'));
    first = last;
  }
  return segments;
}

/**
 * Handles of the one cubic through the ends of points in order that lies closest to them, mm, with the end directions
 * given or, where left out, read from the points.
 */
export function fitOneCubic(
  points: readonly PlanePoint[],
  { start, end }: EndDirections,
): readonly [c1: PlanePoint, c2: PlanePoint] {
  if (points.length < 3) throw new RangeError('a cubic needs at least three points to be fitted to');
  const run = { xs: Float64Array.from(points, ({ x }) => x), ys: Float64Array.from(points, ({ y }) => y) };
  const last = points.length - 1;
  const { controls: c } = fitDirected(run, {
    first: 0,
    last,
    start: start ?? directionAt(points, run, 0),
    end: end ?? directionAt(points, run, last),
  });
  return [
    { x: c[2]!, y: c[3]! },
    { x: c[4]!, y: c[5]! },
  ];
}

/**
 * The farthest point that one cubic from `first` reaches within the tolerance; at least three points on. Reaches twice
 * as far until it fails, then halves: the work grows with what the cubic covers, not with all that is left of the run.
 */
function longestFit({ points, fitOf }: Source, first: number, toleranceMm: number): PartFit {
  const end = points.length - 1;
  let best = fitOf(first, Math.min(end, first + FEWEST_STEPS));
  let fails = end + 1;
  for (let steps = 2 * FEWEST_STEPS; best.last < end && fails > end; steps *= 2) {
    const tried = fitOf(first, Math.min(end, first + steps));
    if (tried.misfitMm <= toleranceMm) best = tried;
    else fails = tried.last;
  }
  while (best.last < end && fails - best.last > 1) {
    const tried = fitOf(first, (best.last + fails) >> 1);
    if (tried.misfitMm <= toleranceMm) best = tried;
    else fails = tried.last;
  }
  return best;
}

function fitPart(
  run: PointRun,
  first: number,
  last: number,
  directionOf: (index: number) => PlanePoint,
): PartFit {
  const part = { first, last, start: directionOf(first), end: directionOf(last) };
  const { controls, parameters } = fitDirected(run, part);
  return { last, controls, misfitMm: worstMisfit(run, first, parameters, controls) };
}

function toSegment(c: CubicControls, to: PlanePoint, joint: Segment['joint']): CubicSegment {
  return { kind: 'cubic', c1: { x: c[2]!, y: c[3]! }, c2: { x: c[4]!, y: c[5]! }, to, joint };
}

/** Least-squares lengths of both handles, whose directions are fixed. */
function fitDirected(
  run: PointRun,
  { first, last, start, end }: Part,
): { controls: CubicControls; parameters: Float64Array } {
  const [p0, p3] = [
    { x: run.xs[first]!, y: run.ys[first]! },
    { x: run.xs[last]!, y: run.ys[last]! },
  ];
  const parameters = chordParameters(run, first, last);
  const chordMm = distanceMm(p0, p3);
  let controls: CubicControls = new Float64Array(8);
  for (let round = 0; round <= ROUNDS; round++) {
    const [a, b] = handleLengths(run, first, parameters, { p0, p3, start, end }, chordMm);
    const c1 = plus(p0, times(start, a));
    const c2 = minus(p3, times(end, b));
    controls = Float64Array.of(p0.x, p0.y, c1.x, c1.y, c2.x, c2.y, p3.x, p3.y);
    if (round === ROUNDS) break;
    for (let i = 0; i < parameters.length; i++) {
      parameters[i] = nearerParameter(controls, parameters[i]!, run.xs[first + i]!, run.ys[first + i]!);
    }
  }
  return { controls, parameters };
}

function handleLengths(
  run: PointRun,
  first: number,
  parameters: Float64Array,
  { p0, p3, start, end }: { p0: PlanePoint; p3: PlanePoint; start: PlanePoint; end: PlanePoint },
  chordMm: number,
): readonly [number, number] {
  let [c00, c01, c11, x0, x1] = [0, 0, 0, 0, 0];
  const along = dot(start, end);
  // The innermost loop of every fit: plain numbers, no points.
  for (let i = 0; i < parameters.length; i++) {
    const t = parameters[i]!;
    const s = 1 - t;
    const w1 = 3 * s * s * t;
    const w2 = 3 * s * t * t;
    const near = s * s * s + w1;
    const far = t * t * t + w2;
    const restX = run.xs[first + i]! - near * p0.x - far * p3.x;
    const restY = run.ys[first + i]! - near * p0.y - far * p3.y;
    c00 += w1 * w1;
    c01 -= w1 * w2 * along;
    c11 += w2 * w2;
    x0 += w1 * (start.x * restX + start.y * restY);
    x1 -= w2 * (end.x * restX + end.y * restY);
  }
  const determinant = c00 * c11 - c01 * c01;
  const a = (x0 * c11 - x1 * c01) / determinant;
  const b = (c00 * x1 - c01 * x0) / determinant;
  // Schneider's rule for hopeless systems: a third of the chord for both.
  const least = 1e-3 * chordMm;
  return a > least && b > least && a < 3 * chordMm && b < 3 * chordMm ? [a, b] : [chordMm / 3, chordMm / 3];
}

function worstMisfit(
  run: PointRun,
  first: number,
  parameters: Float64Array,
  controls: CubicControls,
): number {
  const at = new Float64Array(6);
  let worst = 0;
  for (let i = 0; i < parameters.length; i++) {
    evaluateCubic(controls, parameters[i]!, at);
    const [dx, dy] = [at[0]! - run.xs[first + i]!, at[1]! - run.ys[first + i]!];
    worst = Math.max(worst, dx * dx + dy * dy);
  }
  return Math.sqrt(worst);
}

/** Direction of travel at a point, read from a free cubic through its neighbours. */
function directionAt(points: readonly PlanePoint[], run: PointRun, index: number): PlanePoint {
  const first = Math.max(0, index - DIRECTION_REACH);
  const last = Math.min(points.length - 1, index + DIRECTION_REACH);
  const [a, b] = [points[first]!, points[last]!];
  const { controls, parameters } = fitCubic(run, first, last, [a.x, a.y, b.x, b.y]);
  const at = new Float64Array(6);
  evaluateCubic(controls, parameters[index - first]!, at);
  return unit({ x: at[2]!, y: at[3]! }) ?? unit(minus(b, a)) ?? { x: 1, y: 0 };
}

function isStraight(points: readonly PlanePoint[], { start, end }: EndDirections, bulgeMm: number): boolean {
  const first = points[0]!;
  const chord = unit(minus(points[points.length - 1]!, first));
  if (!chord) return false;
  const agrees = (direction: PlanePoint | undefined) =>
    !direction || (Math.abs(cross(chord, direction)) < STRAIGHT_TURN_RAD && dot(chord, direction) > 0);
  return (
    agrees(start) && agrees(end) && points.every((p) => Math.abs(cross(chord, minus(p, first))) <= bulgeMm)
  );
}
