import { median } from '../geometry/median.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';

/** A line to be cleaned as evenly spread samples, mm. A closed line does not repeat its first sample. */
export interface Samples {
  readonly count: number;
  readonly closed: boolean;
  readonly spacingMm: number;
  readonly xs: Float64Array;
  readonly ys: Float64Array;
  /** 1 where the line was measured, 0 where a gap between far-apart points was bridged. */
  readonly weights: Float64Array;
  /** Spread (one sigma) of the samples across the line, mm. */
  readonly noiseMm: number;
}

/** Index of a neighbour: cyclic on a closed line, held at the ends of an open one. */
export function neighbour(samples: Samples, i: number): number {
  const { count } = samples;
  if (samples.closed) return ((i % count) + count) % count;
  return Math.min(count - 1, Math.max(0, i));
}

/**
 * Spread of the samples about a smooth line, from third differences, which vanish on any smooth run; the median
 * passes over corners. For independent noise the third difference has variance 20 (1 + 9 + 9 + 1).
 */
function noiseOf(xs: Float64Array, ys: Float64Array, closed: boolean): number {
  const count = xs.length;
  const differences: number[] = [];
  for (let i = 0; i < (closed ? count : count - 3); i++) {
    const [b, c, d] = [(i + 1) % count, (i + 2) % count, (i + 3) % count];
    const along = Math.hypot(xs[d]! - xs[i]!, ys[d]! - ys[i]!) || 1;
    const [nx, ny] = [-(ys[d]! - ys[i]!) / along, (xs[d]! - xs[i]!) / along];
    const dx = xs[d]! - 3 * xs[c]! + 3 * xs[b]! - xs[i]!;
    const dy = ys[d]! - 3 * ys[c]! + 3 * ys[b]! - ys[i]!;
    differences.push(Math.abs(dx * nx + dy * ny));
  }
  return median(differences) / 0.6745 / Math.sqrt(20);
}

/** Spreads samples evenly along the polyline, about `spacingMm` apart; undefined when it has no length. */
export function spreadSamples(
  points: readonly PlanePoint[],
  closed: boolean,
  spacingMm: number,
): Samples | undefined {
  const ends = closed ? [...points, points[0]!] : points;
  const along = new Float64Array(ends.length);
  const steps = new Float64Array(Math.max(0, ends.length - 1));
  for (let i = 1; i < ends.length; i++) {
    steps[i - 1] = distanceMm(ends[i - 1]!, ends[i]!);
    along[i] = along[i - 1]! + steps[i - 1]!;
  }
  const length = along[along.length - 1] ?? 0;
  if (!(length > 0)) return undefined;
  const widest = 4 * Math.max(median(steps), spacingMm);
  const pieces = Math.max(closed ? 8 : 4, Math.round(length / spacingMm));
  const count = closed ? pieces : pieces + 1;
  const xs = new Float64Array(count);
  const ys = new Float64Array(count);
  const weights = new Float64Array(count).fill(1);
  for (let k = 0, i = 0; k < count; k++) {
    const s = Math.min(length, (k * length) / pieces);
    while (i < steps.length - 1 && along[i + 1]! < s) i++;
    const t = steps[i]! > 0 ? (s - along[i]!) / steps[i]! : 0;
    xs[k] = ends[i]!.x + t * (ends[i + 1]!.x - ends[i]!.x);
    ys[k] = ends[i]!.y + t * (ends[i + 1]!.y - ends[i]!.y);
    if (steps[i]! > widest && t > 0.02 && t < 0.98) weights[k] = 0;
  }
  return {
    count,
    closed,
    spacingMm: length / pieces,
    xs,
    ys,
    weights,
    noiseMm: noiseOf(xs, ys, closed),
  };
}
