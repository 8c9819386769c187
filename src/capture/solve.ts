/** The solve: camera, print scale and the references' places from what one photo shows of them. */
import type { SeenCard } from './card-points.ts';
import { LN_ACROSS, LN_ALONG, LN_FOCAL } from './camera-parameters.ts';
import { symmetricInverse } from './linear-algebra.ts';
import { type FocalPrior, lensPriors, type Prior, UNKNOWN_FOCAL_SIGMA } from './priors.ts';
import { type Descent, descend, descendFurther, descendOn, systemOf } from './solve-descend.ts';
import { startingStates } from './solve-start.ts';
import {
  slackIndex,
  type SolveProblem,
  type SolveState,
  type SolveTape,
  unknownCount,
} from './solve-state.ts';
import type { SeenTarget } from './solve-target.ts';

export interface SolveInput {
  readonly cards: readonly SeenCard[];
  /** Other things of known shape; numbered on after the cards. */
  readonly references?: readonly SeenTarget[];
  readonly tapes: readonly SolveTape[];
  /** One-sigma doubt of a camera that is said to look straight down, rad; set only where nothing shows its tilt. */
  readonly levelDoubtRad?: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** What the focal length may be: the readings of EXIF, or one wide belief. */
  readonly focals: readonly FocalPrior[];
  readonly print: readonly Prior[];
}

export interface Solution {
  readonly problem: SolveProblem;
  readonly state: SolveState;
  /** True when the picture's own focal length is not the one that was believed, which was then set aside. */
  readonly isFocalUnlikeExif: boolean;
  /** Covariance of all unknowns, row by row. */
  readonly covariance: Float64Array;
  /**
   * Estimated variance of the points as a multiple of the stated one, drawn towards 1 while there are few points.
   */
  readonly variance: number;
}

/** Rounds after which hopeless starts are dropped, that rank the rest, how many valleys are gone down, rounds to the end. */
const EARLY_ROUNDS = 3;
const RANKING_ROUNDS = 8;
const FINALISTS = 3;
const FINAL_ROUNDS = 80;
/** The stated noise counts as much as this many measurements when the residuals are asked about the noise. */
const STATED_NOISE_COUNTS = 4;
/** EXIF is set aside when the picture says otherwise by this many sigmas. */
const CONTRADICTION_SIGMAS = 3;
/** Residuals never make the points better than this share of the stated variance. */
const LEAST_VARIANCE = 0.02;

function problemOf(input: SolveInput, focal: FocalPrior, noiseGain: number): SolveProblem {
  const longSide = Math.max(input.widthPx, input.heightPx);
  const targets = targetsOf(input);
  return {
    targets,
    tapes: input.tapes,
    priors: [...lensPriors(focal, longSide), ...input.print, ...sidePriors(targets)],
    ...(input.levelDoubtRad !== undefined && { levelDoubtRad: input.levelDoubtRad }),
    noiseGain,
  };
}

/** Cards first, then the other references. */
export function targetsOf({ cards, references = [] }: SolveInput): readonly SeenTarget[] {
  return [...cards, ...references];
}

/** Beliefs about how far sides lie off their nominal places. */
function sidePriors(targets: readonly SeenTarget[]): readonly Prior[] {
  return targets.flatMap(({ sides = [] }, target) =>
    sides.flatMap(({ shiftDoubtMm, turnDoubtMm, bowDoubtMm }, side): Prior[] => {
      const first = slackIndex({ targets }, target, side);
      return [shiftDoubtMm, turnDoubtMm, bowDoubtMm].map((sigma, k) => ({
        terms: [[first + k, 1]],
        target: 0,
        sigma,
      }));
    }),
  );
}

/** Print scale that the priors alone believe in. */
function expectedPrint(print: readonly Prior[]): readonly [number, number] {
  const single = (index: number): number | undefined =>
    print.find(({ terms }) => terms.length === 1 && terms[0]![0] === index)?.target;
  return [single(LN_ACROSS) ?? 0, single(LN_ALONG) ?? 0];
}

/** Two states whose cameras stand within this share of their height of each other descend to the same end. */
const SAME_VALLEY = 0.03;

/** True when both cameras stand near one place over the first target. */
function isSameValley({ state: { camera: a } }: Descent, { state: { camera: b } }: Descent): boolean {
  const [ax, ay, az] = a.centreMm;
  const [bx, by, bz] = b.centreMm;
  return Math.hypot(ax - bx, ay - by, az - bz) < SAME_VALLEY * az;
}

/** A valley this many times as high as the lowest, after the ranking, is not gone down. */
const HOPELESS = 30;

/** One this many times as high as the lowest so far, after the early rounds, is not even ranked. */
const LOST = 1000;

/** Every start some way down, but for those that lead nowhere. */
function rankedStarts(problem: SolveProblem, starts: readonly SolveState[]): readonly Descent[] {
  let lowest = Number.POSITIVE_INFINITY;
  return starts.flatMap((start) => {
    const system = systemOf(problem, start);
    const early = descendOn(system, start, EARLY_ROUNDS);
    if (!early || early.equations.cost > LOST * (1 + lowest)) return [];
    const end = descendFurther(system, early, RANKING_ROUNDS - EARLY_ROUNDS);
    lowest = Math.min(lowest, end.equations.cost);
    return [end];
  });
}

/** Descends from every start; the lowest end wins. */
function solveFromStarts(input: SolveInput, focal: FocalPrior): Descent | undefined {
  const problem = problemOf(input, focal, 1);
  const [lnAcross, lnAlong] = expectedPrint(input.print);
  const byCost = (a: Descent, b: Descent): number => a.equations.cost - b.equations.cost;
  return rankedStarts(problem, startingStates(problem.targets, input, focal.focalPx, lnAcross, lnAlong))
    .toSorted(byCost)
    .filter((end, i, ranked) => !ranked.slice(0, i).some((better) => isSameValley(better, end)))
    .slice(0, FINALISTS)
    .filter(({ equations }, _, [lowest]) => equations.cost <= HOPELESS * (1 + lowest!.equations.cost))
    .flatMap(({ state }) => descend(problem, state, FINAL_ROUNDS) ?? [])
    .sort(byCost)[0];
}

/** One belief from several by how well the picture bears each out: mean and variance of their mixture. */
function mixedFocal(focals: readonly FocalPrior[], costs: readonly number[]): FocalPrior {
  const least = Math.min(...costs);
  const weights = costs.map((cost) => Math.exp((least - cost) / 2));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mixed = (value: (focal: FocalPrior) => number): number =>
    focals.reduce((sum, focal, i) => sum + weights[i]! * value(focal), 0) / total;
  const mean = mixed(({ focalPx }) => Math.log(focalPx));
  const variance = mixed(({ focalPx, sigma }) => sigma ** 2 + (Math.log(focalPx) - mean) ** 2);
  return { focalPx: Math.exp(mean), sigma: Math.sqrt(variance) };
}

/** How many of the measurements the unknowns use up: trace of data (data + prior)^-1. */
function measurementsUsed(data: Float64Array, covariance: Float64Array): number {
  return data.reduce((sum, value, at) => sum + value * covariance[at]!, 0);
}

function covarianceOf({ equations }: Descent, n: number): Float64Array | undefined {
  return symmetricInverse(
    equations.data.map((value, at) => value + equations.prior[at]!),
    n,
  );
}

/** The points' variance over the stated one, from the residuals of a solve with the stated noise. */
export function varianceRatio({ equations }: Pick<Descent, 'equations'>, covariance: Float64Array): number {
  const { data, dataCost, dataCount } = equations;
  const left = Math.max(0, dataCount - measurementsUsed(data, covariance));
  return Math.max(LEAST_VARIANCE, (STATED_NOISE_COUNTS + dataCost) / (STATED_NOISE_COUNTS + left));
}

interface Finish {
  readonly problem: SolveProblem;
  readonly state: SolveState;
  readonly covariance: Float64Array;
  readonly variance: number;
}

/** Descends to the end under one belief about the focal length, with the points' noise set by the residuals. */
function finish(input: SolveInput, focal: FocalPrior, start: SolveState): Finish | undefined {
  const stated = problemOf(input, focal, 1);
  const n = unknownCount(stated);
  const first = descend(stated, start, FINAL_ROUNDS);
  const firstCovariance = first && covarianceOf(first, n);
  if (!firstCovariance) return undefined;
  const variance = varianceRatio(first, firstCovariance);
  const problem = problemOf(input, focal, Math.sqrt(variance));
  const last = descend(problem, first.state, FINAL_ROUNDS);
  const covariance = last && covarianceOf(last, n);
  return covariance && { problem, state: last.state, covariance, variance };
}

/**
 * True when the picture by itself says another focal length than every reading of EXIF. A side's places err together, so
 * that how little they scatter does not make them say more than their stated noise allows.
 */
function contradictsExif(focals: readonly FocalPrior[], free: Finish): boolean {
  const n = unknownCount(free.problem);
  const isBySides = free.problem.targets.some(({ sides = [] }) => sides.length > 0);
  const doubt = free.covariance[LN_FOCAL * n + LN_FOCAL]! / (isBySides ? Math.min(1, free.variance) : 1);
  return focals.every(({ focalPx, sigma }) => {
    const off = Math.log(free.state.camera.focalPx / focalPx);
    return Math.abs(off) > CONTRADICTION_SIGMAS * Math.sqrt(sigma ** 2 + doubt);
  });
}

/**
 * Solves for everything at once; undefined when no start leads anywhere. EXIF's readings of the focal length are
 * tried apart and weighed by their cost, and dropped when the picture by itself clearly says otherwise (cropped,
 * zoomed). The points' noise is set by the residuals, so that the beliefs neither pull a sharp picture nor yield
 * to a poor one.
 */
export function solve(input: SolveInput): Solution | undefined {
  const [first, ...others] = input.focals;
  const start = first && solveFromStarts(input, first);
  if (!start) return undefined;
  // Another reading of EXIF is a few percent away: the same start leads there.
  const reached = [{ end: start, focal: first }];
  for (const focal of others) {
    const end = descend(problemOf(input, focal, 1), start.state, FINAL_ROUNDS);
    if (end) reached.push({ end, focal });
  }
  const best = reached.reduce((a, b) => (b.end.equations.cost < a.end.equations.cost ? b : a));
  const exif = mixedFocal(
    reached.map(({ focal }) => focal),
    reached.map(({ end }) => end.equations.cost),
  );
  const free = { focalPx: exif.focalPx, sigma: UNKNOWN_FOCAL_SIGMA };
  const freed = finish(input, free, best.end.state);
  if (freed && contradictsExif(input.focals, freed)) return { ...freed, isFocalUnlikeExif: true };
  const bound = finish(input, exif, best.end.state);
  return bound && { ...bound, isFocalUnlikeExif: false };
}
