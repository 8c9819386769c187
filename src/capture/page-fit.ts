/** The print's proportions and skew from one photo of an uncut card page. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { type Camera, imageToPlane, planeToImage, tiltRad } from './camera.ts';
import { CAMERA_COUNT, LN_ACROSS, LN_FOCAL, steppedCamera } from './camera-parameters.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import { choleskyFactor, choleskySolve, symmetricInverse } from './linear-algebra.ts';
import type { Prior } from './priors.ts';
import { absoluteValue, type SolveState } from './solve-state.ts';
import { CAMERA_STEPS } from './tolerance.ts';

/** A mark of the page: its place as printed at 100 %, mm from the middle of the cards, and in the photo. */
export interface PageMark {
  readonly cardId: number;
  readonly at: PlanePoint;
  readonly seen: ImagePoint;
  readonly sigmaPx: number;
}

/** Beyond the camera's unknowns: ln(across / along), skew, and how the paper bulges along x, along y and across both. */
const LN_RATIO = CAMERA_COUNT;
const SKEW = CAMERA_COUNT + 1;
const BULGE = CAMERA_COUNT + 2;
const COUNT = CAMERA_COUNT + 5;
const STEPS: readonly number[] = [...CAMERA_STEPS, 1e-6, 1e-6, 1e-3, 1e-3, 1e-3];
/** A page laid on a table stands up by this much at its ends, or in its middle (one sigma; common practice, no source). */
const BULGE_MM = 0.7;
/** Where that bulge is reached, mm from the middle. */
const BULGE_REACH_MM = 120;
const ROUNDS = 40;
const STATED_NOISE_COUNTS = 4;

interface PageState {
  readonly camera: Camera;
  /** ln(across / along), skew, three bulges. */
  readonly own: readonly number[];
}

export interface PageFit {
  /** ln(across / along) and its one-sigma doubt. */
  readonly lnRatio: number;
  readonly lnRatioSigma: number;
  /** How far x runs to the right per mm up the page, and its one-sigma doubt. */
  readonly skew: number;
  readonly skewSigma: number;
  /** Tilt of the camera over the page, rad. */
  readonly tiltRad: number;
  /** Mark by mark, how far it lies from its place on an evenly printed page, mm. */
  readonly missesMm: readonly { readonly cardId: number; readonly missMm: number }[];
}

function stepped({ camera, own }: PageState, step: Float64Array): PageState {
  return { camera: steppedCamera(camera, step), own: own.map((value, k) => value + step[CAMERA_COUNT + k]!) };
}

/** Place on the table and height of a printed place. The mean scale is 1: a photo of the page alone cannot see it. */
function laid({ own }: PageState, { x, y }: PlanePoint) {
  const [lnRatio, skew, alongX, alongY, twist] = own as [number, number, number, number, number];
  const [across, along] = [Math.exp(lnRatio / 2), Math.exp(-lnRatio / 2)];
  const [sx, sy] = [x / BULGE_REACH_MM, y / BULGE_REACH_MM];
  return {
    at: { x: across * x + skew * along * y, y: along * y },
    zMm: CARD_FACE_HEIGHT_MM + alongX * sx * sx + alongY * sy * sy + twist * sx * sy,
  };
}

function shown(state: PageState, mark: PageMark): ImagePoint {
  const { at, zMm } = laid(state, mark.at);
  return planeToImage(state.camera, at, zMm);
}

interface Sums {
  readonly cost: number;
  readonly dataCost: number;
  readonly data: Float64Array;
  readonly prior: Float64Array;
  readonly right: Float64Array;
}

/** Normal equations at a state; `gain` multiplies the stated noise. */
function sumsAt(state: PageState, marks: readonly PageMark[], priors: readonly Prior[], gain: number): Sums {
  const [data, prior] = [new Float64Array(COUNT * COUNT), new Float64Array(COUNT * COUNT)];
  const right = new Float64Array(COUNT);
  const add = (matrix: Float64Array, row: Float64Array, miss: number, sigma: number): number => {
    const weight = 1 / sigma ** 2;
    for (let i = 0; i < COUNT; i++) {
      if (row[i] === 0) continue;
      right[i]! += weight * row[i]! * miss;
      for (let j = 0; j < COUNT; j++) matrix[i * COUNT + j]! += weight * row[i]! * row[j]!;
    }
    return weight * miss * miss;
  };
  const sides = STEPS.map((size, i) =>
    [size, -size].map((value) => {
      const step = new Float64Array(COUNT);
      step[i] = value;
      return stepped(state, step);
    }),
  );
  let dataCost = 0;
  for (const mark of marks) {
    const here = shown(state, mark);
    const slopes = sides.map(([more, less], i) => {
      const [a, b] = [shown(more!, mark), shown(less!, mark)];
      return { u: (a.u - b.u) / (2 * STEPS[i]!), v: (a.v - b.v) / (2 * STEPS[i]!) };
    });
    for (const axis of ['u', 'v'] as const) {
      const row = Float64Array.from(slopes, (slope) => slope[axis]);
      dataCost += add(data, row, mark.seen[axis] - here[axis], mark.sigmaPx * gain);
    }
  }
  let cost = dataCost;
  const lens: SolveState = { camera: state.camera, lnAcross: 0, lnAlong: 0, places: [], slack: [] };
  for (const { terms, target, sigma } of priors) {
    const row = new Float64Array(COUNT);
    const [[index]] = terms as readonly [readonly [number, number]];
    row[index] = 1;
    cost += add(prior, row, target - absoluteValue(lens, index), sigma);
  }
  for (let k = 0; k < 3; k++) {
    const row = new Float64Array(COUNT);
    row[BULGE + k] = 1;
    cost += add(prior, row, -state.own[BULGE - CAMERA_COUNT + k]!, BULGE_MM);
  }
  return { cost, dataCost, data, prior, right };
}

/** Steps down to the least cost (Levenberg-Marquardt). */
function settle(start: PageState, marks: readonly PageMark[], priors: readonly Prior[], gain: number) {
  let state = start;
  let sums = sumsAt(state, marks, priors, gain);
  let damping = 1e-4;
  for (let round = 0; round < ROUNDS && damping < 1e6; round++) {
    const matrix = sums.data.map((value, at) => value + sums.prior[at]!);
    const scale = Float64Array.from({ length: COUNT }, (_, i) => 1 / Math.sqrt(matrix[i * COUNT + i]! || 1));
    for (let i = 0; i < COUNT; i++)
      for (let j = 0; j < COUNT; j++) matrix[i * COUNT + j]! *= scale[i]! * scale[j]!;
    for (let i = 0; i < COUNT; i++) matrix[i * COUNT + i]! += damping;
    const factor = choleskyFactor(matrix, COUNT);
    const right = sums.right.map((value, i) => value * scale[i]!);
    const step = factor && choleskySolve(factor, COUNT, right).map((value, i) => value * scale[i]!);
    const next = step && stepped(state, step);
    const nextSums = next && sumsAt(next, marks, priors, gain);
    if (next && nextSums && nextSums.cost < sums.cost) {
      const isSettled = sums.cost - nextSums.cost < 1e-9 * (1 + sums.cost);
      [state, sums] = [next, nextSums];
      damping = Math.max(1e-9, damping / 8);
      if (isSettled) break;
    } else damping *= 10;
  }
  return { state, sums };
}

/** The points' variance over the stated one, from the residuals, as the solve reckons it. */
function varianceRatio({ data, prior, dataCost }: Sums, count: number): number {
  const covariance = symmetricInverse(
    data.map((value, at) => value + prior[at]!),
    COUNT,
  );
  const spent = covariance ? data.reduce((sum, value, at) => sum + value * covariance[at]!, 0) : 0;
  return (STATED_NOISE_COUNTS + dataCost) / (STATED_NOISE_COUNTS + Math.max(0, count - spent));
}

/**
 * Fits camera, proportions, skew and the paper's bulge to the marks of a page, from a camera that sees it about
 * right and the beliefs about its lens. Undefined when the marks do not settle them.
 */
export function fitPage(
  camera: Camera,
  marks: readonly PageMark[],
  beliefs: readonly Prior[],
): PageFit | undefined {
  const priors = beliefs.filter(
    ({ terms }) => terms.length === 1 && terms[0]![0] >= LN_FOCAL && terms[0]![0] < LN_ACROSS,
  );
  const first = settle({ camera, own: [0, 0, 0, 0, 0] }, marks, priors, 1);
  const gain = Math.sqrt(varianceRatio(first.sums, 2 * marks.length));
  const { state, sums } = settle(first.state, marks, priors, gain);
  const covariance = symmetricInverse(
    sums.data.map((value, at) => value + sums.prior[at]!),
    COUNT,
  );
  if (!covariance) return undefined;
  return {
    lnRatio: state.own[0]!,
    lnRatioSigma: Math.sqrt(covariance[LN_RATIO * (COUNT + 1)]!),
    skew: state.own[1]!,
    skewSigma: Math.sqrt(covariance[SKEW * (COUNT + 1)]!),
    tiltRad: tiltRad(state.camera),
    missesMm: marks.map((mark) => {
      const { at, zMm } = laid(state, mark.at);
      const seen = imageToPlane(state.camera, mark.seen, zMm);
      return { cardId: mark.cardId, missMm: Math.hypot(seen.x - at.x, seen.y - at.y) };
    }),
  };
}
