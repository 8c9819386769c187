import type { EdgeIndex, NearestEdge, Polyline } from './edge-index.ts';
import { polygonAreaMm2 } from './measure.ts';
import { mover, type RigidMotion, undoMotion } from './motion.ts';
import type { PlanePoint } from './point.ts';
import type { PathSample } from './sample-path.ts';
import { dot, minus, plus, unit } from './vector.ts';

/** How far a place of one line lies from another line it is laid on. */
export interface DeviationSample extends PathSample {
  /**
   * Where this place would have to lie to coincide, in the frame of the line itself: the nearest
   * point of the other line, brought back. An arrow from `point` to `match` shows the change.
   */
  readonly match: PlanePoint;
  /** Positive outside the other (closed) line, negative inside; never negative when the other line is open. mm. */
  readonly deviationMm: number;
}

/** Figures of a deviation without regard to sign, mm. */
export interface DeviationFigures {
  readonly maxMm: number;
  /** Where the largest deviation is, in the frame of the line. */
  readonly maxAt: PlanePoint;
  readonly p95Mm: number;
  readonly meanMm: number;
  readonly rmsMm: number;
}

/** Lays samples of a line on other lines by `motion` and measures each one's distance to the nearest. */
export function deviationFrom(
  samples: readonly PathSample[],
  motion: RigidMotion,
  others: EdgeIndex,
): DeviationSample[] {
  const lay = mover(motion);
  const back = mover(undoMotion(motion));
  const isWithin = others.lines.map(insideTester);
  return samples.map((sample) => {
    const laid = lay(sample.point);
    const found = others.nearest(laid.x, laid.y)!;
    const inside = found.distanceMm > 0 && isWithin[found.line]!(found, laid);
    return {
      ...sample,
      match: back({ x: found.x, y: found.y }),
      deviationMm: inside ? -found.distanceMm : found.distanceMm,
    };
  });
}

/**
 * Tells from a point's nearest place on a closed polyline whether it lies inside: by the side of the edge there, or
 * at a corner by the mean of both edges' normals (Baerentzen and Aanaes 2005, in the plane). For open lines: never.
 */
function insideTester({ points, closed }: Polyline): (nearest: NearestEdge, point: PlanePoint) => boolean {
  if (!closed) return () => false;
  const outwards = polygonAreaMm2(points) >= 0 ? 1 : -1;
  const normals = points.map((a, i) => {
    const along = unit(minus(points[(i + 1) % points.length]!, a));
    return along && { x: outwards * along.y, y: -outwards * along.x };
  });
  /** The normal of this edge, or of the next one forwards or backwards that has a length. */
  const normalFrom = (edge: number, step: 1 | -1) => {
    for (let k = 0; k < normals.length; k++) {
      const normal = normals[(edge + step * k + normals.length * 2) % normals.length];
      if (normal) return normal;
    }
    return { x: 0, y: 0 };
  };
  return ({ edge, u, x, y }, point) => {
    const away = { x: point.x - x, y: point.y - y };
    if (u > 0 && u < 1) return dot(away, normalFrom(edge, 1)) < 0;
    const after = u === 0 ? edge : edge + 1;
    const [before, behind] = [
      normalFrom(after - 1 + normals.length, -1),
      normalFrom(after % normals.length, 1),
    ];
    return dot(away, plus(before, behind)) < 0;
  };
}

/** The least value that `share` of the weight does not exceed. Throws for an empty list. */
function weightedQuantile(values: readonly number[], weights: readonly number[], share: number): number {
  const order = values.map((_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const total = weights.reduce((sum, w) => sum + w, 0);
  let sum = 0;
  for (const i of order) {
    sum += weights[i]!;
    if (sum >= share * total) return values[i]!;
  }
  const last = order[order.length - 1];
  if (last === undefined) throw new RangeError('a quantile needs at least one value');
  return values[last]!;
}

/** Largest, 95th percentile, mean and root mean square over the length of the line. Throws without samples. */
export function deviationFigures(samples: readonly DeviationSample[]): DeviationFigures {
  const sizes = samples.map(({ deviationMm }) => Math.abs(deviationMm));
  const weights = samples.map(({ weightMm }) => weightMm);
  const total = weights.reduce((sum, w) => sum + w, 0) || 1;
  const worst = sizes.reduce((best, size, i) => (size > sizes[best]! ? i : best), 0);
  return {
    maxMm: sizes[worst]!,
    maxAt: samples[worst]!.point,
    p95Mm: weightedQuantile(sizes, weights, 0.95),
    meanMm: sizes.reduce((sum, size, i) => sum + size * weights[i]!, 0) / total,
    rmsMm: Math.sqrt(sizes.reduce((sum, size, i) => sum + size * size * weights[i]!, 0) / total),
  };
}

/** A run of a line that deviates by more than the limit. */
export interface DeviationStretch {
  /** Lengths along the line, mm. On a closed line a stretch over the start has `toMm` above the line's length. */
  readonly fromMm: number;
  readonly toMm: number;
  /** The largest deviation in the stretch, with its sign, mm. */
  readonly peakMm: number;
  readonly at: PlanePoint;
  /** Numbers of the samples, in order. */
  readonly samples: readonly number[];
}

/**
 * Stretches where the deviation exceeds `limitMm`. Neighbouring runs on the same side, less than `bridgeMm` apart, count as
 * one. `lengthMm` is the length of the line; `mayJoin` can forbid a stretch to run on over a place (between two samples).
 */
export function stretchesAbove<Sample extends DeviationSample>(
  samples: readonly Sample[],
  limitMm: number,
  line: { readonly closed: boolean; readonly lengthMm: number },
  bridgeMm = 3,
  mayJoin: (before: Sample, after: Sample) => boolean = () => true,
): DeviationStretch[] {
  const runs: number[][] = [];
  const joins = (a: number, b: number) => {
    const [before, after] = [samples[a]!, samples[b]!];
    const gap = (after.alongMm - before.alongMm + line.lengthMm) % Math.max(line.lengthMm, Number.MIN_VALUE);
    const neighbours = b === (a + 1) % samples.length;
    return (
      (neighbours || gap <= bridgeMm) &&
      Math.sign(before.deviationMm) === Math.sign(after.deviationMm) &&
      mayJoin(before, after)
    );
  };
  samples.forEach((sample, i) => {
    if (Math.abs(sample.deviationMm) <= limitMm) return;
    const run = runs[runs.length - 1];
    if (run && joins(run[run.length - 1]!, i)) run.push(i);
    else runs.push([i]);
  });
  const [first] = runs;
  const last = runs[runs.length - 1];
  if (line.closed && first && last && first !== last && joins(last[last.length - 1]!, first[0]!)) {
    runs[0] = [...last, ...first];
    runs.pop();
  }
  return runs.map((run) => describe(samples, run, line.lengthMm));
}

function describe(
  samples: readonly DeviationSample[],
  run: readonly number[],
  lengthMm: number,
): DeviationStretch {
  const peak = run.reduce((best, i) =>
    Math.abs(samples[i]!.deviationMm) > Math.abs(samples[best]!.deviationMm) ? i : best,
  );
  const fromMm = samples[run[0]!]!.alongMm;
  const toMm = samples[run[run.length - 1]!]!.alongMm;
  return {
    fromMm,
    toMm: toMm < fromMm ? toMm + lengthMm : toMm,
    peakMm: samples[peak]!.deviationMm,
    at: samples[peak]!.point,
    samples: run,
  };
}
