import type { PlanePoint } from '../geometry/point.ts';
import type { Corner } from './clean-corners.ts';
import type { Run } from './clean-runs.ts';
import { neighbour, type Samples } from './clean-samples.ts';

/** Splitting looks at points about this far apart, mm. */
const SPLIT_STEP_MM = 1;

/** Where a run begins or ends: at a corner, or at a plain sample. */
interface RunEnd {
  readonly at: number;
  readonly point: PlanePoint;
  /** Samples this close to the end are left out, mm; 0 at a plain sample. */
  readonly gapMm: number;
}

/** The points between two ends, thinned to about a millimetre, with the ends' own points first and last. */
function runBetween(samples: Samples, from: RunEnd, to: RunEnd): Run {
  const end = samples.closed && to.at <= from.at ? to.at + samples.count : to.at;
  const first = Math.ceil(from.at + Math.max(0.5, from.gapMm / samples.spacingMm));
  const last = Math.floor(end - Math.max(0.5, to.gapMm / samples.spacingMm));
  const stride = Math.max(1, Math.round(SPLIT_STEP_MM / samples.spacingMm));
  const places = [from.at];
  for (let i = first; i <= last; i += stride) {
    if (samples.weights[neighbour(samples, i)]! > 0) places.push(i);
  }
  places.push(end);
  const inner = (values: Float64Array, atStart: number, atEnd: number) =>
    Float64Array.from(places, (place, k) => {
      if (k === 0) return atStart;
      return k === places.length - 1 ? atEnd : values[neighbour(samples, place)]!;
    });
  return {
    places: Float64Array.from(places),
    xs: inner(samples.xs, from.point.x, to.point.x),
    ys: inner(samples.ys, from.point.y, to.point.y),
    noiseMm: samples.noiseMm,
    spacingMm: stride * samples.spacingMm,
  };
}

/** Mean of the samples within a few millimetres, corrected for the curve's bow: the parabola's middle. */
function smoothedSample(samples: Samples, at: number): PlanePoint {
  const m = Math.max(2, Math.round(2.5 / samples.spacingMm));
  const scale = ((2 * m + 1) * (4 * m * m + 4 * m - 3)) / 3;
  let [x, y] = [0, 0];
  for (let k = -m; k <= m; k++) {
    const weight = (3 * m * m + 3 * m - 1 - 5 * k * k) / scale;
    x += weight * samples.xs[neighbour(samples, at + k)]!;
    y += weight * samples.ys[neighbour(samples, at + k)]!;
  }
  return { x, y };
}

/** Where a closed line without corners bends least: the best place to begin. */
export function calmestSample(samples: Samples): number {
  const reach = Math.max(2, Math.round(4 / samples.spacingMm));
  let calmest = 0;
  let least = Infinity;
  for (let i = 0; i < samples.count; i++) {
    const [a, b] = [neighbour(samples, i - reach), neighbour(samples, i + reach)];
    const bow = Math.hypot(
      samples.xs[a]! - 2 * samples.xs[i]! + samples.xs[b]!,
      samples.ys[a]! - 2 * samples.ys[i]! + samples.ys[b]!,
    );
    if (bow < least) {
      least = bow;
      calmest = i;
    }
  }
  return calmest;
}

/** The runs of a line: from corner to corner, from end to end, or once round from `seam` where there is no corner. */
export function runsOf(samples: Samples, corners: readonly Corner[], seam: number): Run[] {
  const inner: readonly RunEnd[] = corners;
  if (samples.closed) {
    const ends = inner.length > 0 ? inner : [{ at: seam, point: smoothedSample(samples, seam), gapMm: 0 }];
    return ends.map((from, k) => runBetween(samples, from, ends[(k + 1) % ends.length]!));
  }
  const endAt = (at: number): RunEnd => ({
    at,
    point: { x: samples.xs[at]!, y: samples.ys[at]! },
    gapMm: 0,
  });
  const ends = [endAt(0), ...inner, endAt(samples.count - 1)];
  return ends.slice(1).map((to, k) => runBetween(samples, ends[k]!, to));
}
