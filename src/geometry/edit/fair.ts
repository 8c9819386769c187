import { pathLengthMm } from '../measure.ts';
import type { Path } from '../path.ts';
import type { PlanePoint } from '../point.ts';
import { samplePathEvenly } from '../sample-path.ts';
import { joinPaths } from '../split-path.ts';
import { evenSpline } from './even-spline.ts';
import { headingAt } from './heading.ts';
import { smoothThirdDifferences } from './smooth-samples.ts';
import { type Move, moveBetween, pathOfStretch, replaceStretch, type Stretch } from './stretch.ts';

export interface FairedStretch {
  readonly path: Path;
  readonly moved: Move;
  /** How much the curvature changes along the stretch, before and after (mean square of d(curvature)/d(length), 1/mm4). */
  readonly unevenBefore: number;
  readonly unevenAfter: number;
}

/** The smoothing may use this share of the distance, fitting curves to it the rest. */
const SMOOTHING_SHARE = 0.8;
const FIT_SHARE = 0.1;
const FINEST_SAMPLES = 1200;
const SAMPLE_MM = 0.75;
const LEAST_SAMPLES = 24;
const ROUNDS = 24;
const STRONGEST = 1e9;

/**
 * Fairs a stretch of a line: makes its curvature change as little as it can while no point moves farther than
 * `limitMm`. Ends, their directions and corners inside stay as they are. Least squares on third differences of even
 * samples, as strong as the limit lets (Eilers 2003, "A Perfect Smoother", third order; here for both coordinates).
 */
export function fairStretch(path: Path, stretch: Stretch, limitMm: number): FairedStretch {
  if (!(limitMm > 0)) throw new RangeError('fairing needs a distance above zero');
  const before = pathOfStretch(path, stretch);
  const runs = runsBetweenCorners(before);
  const faired = runs.map((run) => fairRun(run, limitMm));
  const after = joinPaths(faired, { gapMm: 1e-9 });
  return {
    path: replaceStretch(path, stretch, after),
    moved: moveBetween(before, after),
    unevenBefore: mean(runs.map(unevenness)),
    unevenAfter: mean(faired.map(unevenness)),
  };
}

function runsBetweenCorners(path: Path): Path[] {
  const runs: Path[] = [];
  let [start, segments] = [path.start, [] as Path['segments'][number][]];
  path.segments.forEach((segment, i) => {
    segments.push(segment);
    if (segment.joint === 'smooth' && i + 1 < path.segments.length) return;
    runs.push({ closed: false, start, segments });
    [start, segments] = [segment.to, []];
  });
  return runs;
}

function fairRun(run: Path, limitMm: number): Path {
  // One straight segment is as fair as can be.
  if (run.segments.length === 1 && run.segments[0]!.kind === 'line') return run;
  const lengthMm = pathLengthMm(run);
  const spacing = Math.max(Math.min(SAMPLE_MM, lengthMm / LEAST_SAMPLES), lengthMm / FINEST_SAMPLES);
  const points = samplePathEvenly(run, spacing).map(({ point }) => point);
  const smooth = asFarAs(points, SMOOTHING_SHARE * limitMm);
  const last = run.segments.length - 1;
  const directions = {
    start: headingAt(run, { segment: 0, t: 0 }),
    end: headingAt(run, { segment: last, t: 1 }),
  };
  const ended = [run.start, ...smooth.slice(1, -1), run.segments[last]!.to];
  const segments = evenSpline(ended, directions, FIT_SHARE * limitMm, run.segments[last]!.joint);
  const faired: Path = { closed: false, start: run.start, segments };
  // A run that is as fair as it can be stays as it is.
  return unevenness(faired) < unevenness(run) ? faired : run;
}

/** The strongest smoothing that moves no point farther than the limit, by halving its logarithm. */
function asFarAs(points: readonly PlanePoint[], limitMm: number): readonly PlanePoint[] {
  const moved = (other: readonly PlanePoint[]) =>
    other.reduce((most, { x, y }, i) => Math.max(most, Math.hypot(x - points[i]!.x, y - points[i]!.y)), 0);
  const strongest = smoothThirdDifferences(points, STRONGEST);
  if (moved(strongest) <= limitMm) return strongest;
  let best: readonly PlanePoint[] = points;
  let [low, high] = [Math.log(1e-3), Math.log(STRONGEST)];
  for (let round = 0; round < ROUNDS; round++) {
    const middle = (low + high) / 2;
    const tried = smoothThirdDifferences(points, Math.exp(middle));
    if (moved(tried) <= limitMm) [best, low] = [tried, middle];
    else high = middle;
  }
  return best;
}

/** Mean square of the third derivative by length: for even samples the change of curvature, all but its square. */
function unevenness(run: Path): number {
  const points = samplePathEvenly(run, Math.max(SAMPLE_MM, pathLengthMm(run) / FINEST_SAMPLES)).map(
    ({ point }) => point,
  );
  const step = pathLengthMm(run) / Math.max(1, points.length - 1);
  let sum = 0;
  for (let i = 3; i < points.length; i++) {
    const third = (key: 'x' | 'y') =>
      points[i]![key] - 3 * points[i - 1]![key] + 3 * points[i - 2]![key] - points[i - 3]![key];
    sum += third('x') ** 2 + third('y') ** 2;
  }
  return sum / Math.max(1, points.length - 3) / step ** 6;
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length);
}
