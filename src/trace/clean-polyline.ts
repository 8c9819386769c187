import { indexPath } from '../geometry/flat-path.ts';
import { type Path, polylinePath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { type Corner, findCorners } from './clean-corners.ts';
import { type Attached, distancesAcross, polishSpline } from './clean-polish.ts';
import { type Run, type Span, splitRun } from './clean-runs.ts';
import { calmestSample, runsOf } from './clean-runs-of-line.ts';
import { neighbour, type Samples, spreadSamples } from './clean-samples.ts';
import { type ChainSpan, pathOfSpline, type Spline, splineOf } from './clean-spline.ts';

export interface CleanedLine {
  readonly path: Path;
  /** How far the cleaned line lies from the points it was given, mm. */
  readonly movedMaxMm: number;
  readonly movedMeanMm: number;
}

/** Samples for cleaning lie about this far apart, mm. */
const SAMPLE_STEP_MM = 0.4;
/** Share of the tolerance that the running mean of the misfit may take when splitting; the rest is for the joints. */
const SPLIT_SHARE = 0.55;
/** Misfit after the final fit beyond this share of the tolerance asks for a finer split. */
const FINAL_SHARE = 0.7;
const TRIES = 3;

/** The spans of all runs in order, with their places along the samples. */
function chainOf(runs: readonly Run[], limitMm: number, startsSmooth: boolean): ChainSpan[] {
  return runs.flatMap((run) =>
    splitRun(run, limitMm).map((span: Span, k) => ({
      ...span,
      startsAtCorner: k === 0 && !startsSmooth,
      from: run.places[span.first]!,
      to: run.places[span.last]!,
      // The run's second point is the first one outside a corner's gap.
      trustedFrom: Math.max(run.places[span.first]!, run.places[1]!),
      trustedTo: Math.min(run.places[span.last]!, run.places[run.places.length - 2]!),
    })),
  );
}

/** Samples in a corner's gap say a little about its sides, those next to it nothing. */
const GAP_WEIGHT = 0.1;
const BLIND_MM = 0.5;

/** The samples that take part in the final fit, with their weights and a first guess of where on the chain they lie. */
function attach(samples: Samples, chain: readonly ChainSpan[]): Attached {
  const kept = {
    xs: [] as number[],
    ys: [] as number[],
    weights: [] as number[],
    span: [] as number[],
    t: [] as number[],
  };
  for (const [span, { from, to, trustedFrom, trustedTo, controls }] of chain.entries()) {
    for (let place = Math.ceil(from); place <= to; place++) {
      const i = neighbour(samples, place);
      const [x, y] = [samples.xs[i]!, samples.ys[i]!];
      const trusted = place >= trustedFrom && place <= trustedTo;
      const fromEnd = Math.min(
        Math.hypot(x - controls[0]!, y - controls[1]!),
        Math.hypot(x - controls[6]!, y - controls[7]!),
      );
      if (samples.weights[i] === 0 || (!trusted && fromEnd < BLIND_MM)) continue;
      kept.xs.push(x);
      kept.ys.push(y);
      kept.weights.push(trusted ? 1 : GAP_WEIGHT);
      kept.span.push(span);
      kept.t.push((place - from) / (to - from));
    }
  }
  return {
    xs: Float64Array.from(kept.xs),
    ys: Float64Array.from(kept.ys),
    weights: Float64Array.from(kept.weights),
    span: Int32Array.from(kept.span),
    t: Float64Array.from(kept.t),
  };
}

/** Largest mean of six neighbouring distances, mm. */
function worstRunningMean(all: Float64Array, weights: Float64Array): number {
  const distances = all.filter((_, i) => weights[i] === 1);
  const window = Math.min(6, distances.length);
  let sum = 0;
  let worst = 0;
  for (let i = 0; i < distances.length; i++) {
    sum += distances[i]! - (i >= window ? distances[i - window]! : 0);
    if (i >= window - 1) worst = Math.max(worst, Math.abs(sum) / window);
  }
  return worst;
}

/** Splits and fits with one limit. */
function fitChain(
  samples: Samples,
  corners: readonly Corner[],
  limitMm: number,
): { readonly spline: Spline; readonly worstMm: number } {
  const seamless = samples.closed && corners.length === 0;
  let chain = chainOf(runsOf(samples, corners, calmestSample(samples)), limitMm, seamless);
  if (seamless && chain.length > 2) {
    // The first seam was a guess: begin again at a joint that the split chose freely.
    const joint = Math.round(chain[Math.floor(chain.length / 2)]!.from) % samples.count;
    const again = chainOf(runsOf(samples, corners, joint), limitMm, seamless);
    if (again.length <= chain.length) chain = again;
  }
  const spline = splineOf(chain, samples.closed);
  const points = attach(samples, chain);
  polishSpline(spline, points);
  return { spline, worstMm: worstRunningMean(distancesAcross(spline, points), points.weights) };
}

/** Distances of the given points from the path, mm. */
function movement(
  points: readonly PlanePoint[],
  path: Path,
): { readonly max: number; readonly mean: number } {
  const index = indexPath(path);
  let [max, sum] = [0, 0];
  for (const { x, y } of points) {
    const distance = index.nearest(x, y)!.distanceMm;
    max = Math.max(max, distance);
    sum += distance;
  }
  return { max, mean: sum / Math.max(1, points.length) };
}

/**
 * Cleans a measured line (mm): corners kept sharp and put where their sides meet, straight runs made straight, smooth
 * runs fitted with the fewest cubics that stay within `toleranceMm` of the points, joined smoothly, as a regression
 * through their noise. A closed line need not repeat its first point; the path runs the same way round.
 * Points without any length between them give a path that is a point.
 */
export function cleanPolyline(
  points: readonly PlanePoint[],
  closed: boolean,
  toleranceMm: number,
): CleanedLine {
  const samples = spreadSamples(points, closed, SAMPLE_STEP_MM);
  if (!samples) return { path: polylinePath(points.slice(0, 1), closed), movedMaxMm: 0, movedMeanMm: 0 };
  const corners = findCorners(samples, points, toleranceMm);
  let limit = SPLIT_SHARE * toleranceMm;
  let fit = fitChain(samples, corners, limit);
  for (let tries = 1; tries < TRIES && fit.worstMm > FINAL_SHARE * toleranceMm; tries++) {
    limit *= 0.6;
    const finer = fitChain(samples, corners, limit);
    if (finer.worstMm < fit.worstMm) fit = finer;
  }
  const path = pathOfSpline(fit.spline);
  const { max, mean } = movement(points, path);
  return { path, movedMaxMm: max, movedMeanMm: mean };
}
