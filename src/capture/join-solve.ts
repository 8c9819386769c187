/** The common solve of several photos. */
import { CAMERA_COUNT } from './camera-parameters.ts';
import {
  printIndex,
  type JoinPhoto,
  type JoinProblem,
  type JoinState,
  joinSystem,
  joinUnknowns,
} from './join-problem.ts';
import type { JoinStart } from './join-start.ts';
import type { PhotoToJoin } from './join-types.ts';
import { symmetricInverse } from './linear-algebra.ts';
import { type FocalPrior, focalPriors, lensPriors, printPriors, UNKNOWN_FOCAL_SIGMA } from './priors.ts';
import { varianceRatio } from './solve.ts';
import { type Descent, descendOn } from './solve-descend.ts';
import type { SolveTape } from './solve-state.ts';

const ROUNDS = 80;
/**
 * How far one phone's lens differs from photo to photo (one sigma): focus moves the focal length a little, steadying
 * moves the lens sideways. Judgement, no source. ln(focal), k1, k2; the offsets as a share of the long side.
 */
const SAME_LENS = [0.003, 0.003, 0.002] as const;
const SAME_OFFSET_SHARE = 0.001;

export interface JoinSolution {
  readonly problem: JoinProblem;
  readonly state: JoinState;
  /** Of cameras and print, row by row. */
  readonly covariance: readonly number[];
  /** Estimated variance of the points over the stated one. */
  readonly variance: number;
}

/** One belief about the focal length: the middle of what EXIF can mean, or a wide one where the photo contradicted it. */
function focalBelief({ capture: { camera, warnings }, options }: PhotoToJoin): FocalPrior {
  if (warnings.some(({ code }) => code === 'focal-unlike-exif')) {
    return { focalPx: camera.focalPx, sigma: UNKNOWN_FOCAL_SIGMA };
  }
  const beliefs = focalPriors(options.facts, camera.widthPx, camera.heightPx);
  const logs = beliefs.map(({ focalPx }) => Math.log(focalPx));
  const mean = logs.reduce((sum, log) => sum + log, 0) / logs.length;
  const spread = logs.reduce((sum, log) => sum + (log - mean) ** 2, 0) / logs.length;
  return { focalPx: Math.exp(mean), sigma: Math.hypot(beliefs[0]!.sigma, Math.sqrt(spread)) };
}

/** True when the headers say that one phone took both photos with one lens, uncropped alike. */
function isSameLens(a: PhotoToJoin, b: PhotoToJoin): boolean {
  const [p, q] = [a.options.facts, b.options.facts];
  const [c, d] = [a.capture.camera, b.capture.camera];
  return (
    p.focalLength35Mm !== undefined &&
    p.focalLength35Mm === q.focalLength35Mm &&
    p.make === q.make &&
    p.model === q.model &&
    c.widthPx === d.widthPx &&
    c.heightPx === d.heightPx
  );
}

function photoOf(
  photos: readonly PhotoToJoin[],
  index: number,
  sightings: JoinPhoto['sightings'],
): JoinPhoto {
  const photo = photos[index]!;
  const { widthPx, heightPx } = photo.capture.camera;
  const longSide = Math.max(widthPx, heightPx);
  if (index > 0 && isSameLens(photos[0]!, photo)) {
    const offset = SAME_OFFSET_SHARE * longSide;
    return { sightings, priors: [], likeFirst: [...SAME_LENS, offset, offset] };
  }
  return { sightings, priors: lensPriors(focalBelief(photo), longSide) };
}

/** All photos' tapes, each once, between cards that lie on the table once. A tape may go from one photo to another. */
function tapesOf(photos: readonly PhotoToJoin[], tableIds: readonly number[]): readonly SolveTape[] {
  const all = new Map(
    photos.flatMap(({ options: { tapes = [] } }) => tapes.map((tape) => [JSON.stringify(tape), tape])),
  );
  const onlyCard = (id: number): number =>
    tableIds.indexOf(id) === tableIds.lastIndexOf(id) ? tableIds.indexOf(id) : -1;
  return [...all.values()].flatMap(({ from, to, lengthMm, doubtMm }) => {
    const [fromCard, toCard] = [onlyCard(from.cardId), onlyCard(to.cardId)];
    if (fromCard < 0 || toCard < 0 || (fromCard === toCard && from.mark === to.mark)) return [];
    return [{ fromCard, toCard, fromMark: from.mark, toMark: to.mark, lengthMm, doubtMm }];
  });
}

interface Solved {
  readonly descent: Descent<JoinState>;
  readonly covariance: Float64Array;
}

function solveOnce(problem: JoinProblem, start: JoinState): Solved | undefined {
  const system = joinSystem(problem, start);
  const descent = descendOn(system, start, ROUNDS);
  if (!descent) return undefined;
  const { data, prior } = descent.equations;
  const covariance = symmetricInverse(
    data.map((value, at) => value + prior[at]!),
    system.unknowns,
  );
  return covariance && { descent, covariance };
}

/** Solves all photos together; their noise is set by the residuals. Undefined when nothing solves. */
export function solveJoin(photos: readonly PhotoToJoin[], start: JoinStart): JoinSolution | undefined {
  const tapes = tapesOf(photos, start.tableIds);
  const stated: JoinProblem = {
    photos: start.sightings.map((sightings, index) => photoOf(photos, index, sightings)),
    tableCards: start.tableIds.length,
    print: printPriors(photos[0]!.options.printer, tapes.length > 0),
    tapes,
    noiseGain: 1,
  };
  const first = solveOnce(stated, start.state);
  if (!first) return undefined;
  const variance = varianceRatio(first.descent, first.covariance);
  const problem = { ...stated, noiseGain: Math.sqrt(variance) };
  const last = solveOnce(problem, first.descent.state);
  if (!last) return undefined;
  const n = joinUnknowns(problem);
  const m = printIndex(problem) + 2;
  return {
    problem,
    state: last.descent.state,
    covariance: Array.from({ length: m * m }, (_, k) => last.covariance[Math.floor(k / m) * n + (k % m)]!),
    variance,
  };
}

/** Covariance of one photo's camera and the print out of that of all photos. */
export function photoCovariance(covariance: readonly number[], photoCount: number, photo: number): number[] {
  const m = CAMERA_COUNT * photoCount + 2;
  const at = [...Array.from({ length: CAMERA_COUNT }, (_, i) => CAMERA_COUNT * photo + i), m - 2, m - 1];
  return at.flatMap((i) => at.map((j) => covariance[i * m + j]!));
}
