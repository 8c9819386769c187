/**
 * The point where an hourglass mark's two quarter discs meet, to a few hundredths of a pixel.
 *
 * Half a turn about that point leaves the mark unchanged. So do even blur, sharpening, ink spread and any tone
 * curve, which is why the point stays where it is when they move every edge of a square. A model with the same
 * symmetry is fitted: two lines through one point, each blurred, over paper whose light may slope.
 */
import type { ImagePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { MARK_RADIUS_MM } from './card.ts';
import type { LocalAffine } from './homography.ts';
import { type LightPatch, lightPatch } from './light.ts';
import { choleskyFactor, choleskySolve, symmetricInverse } from './linear-algebra.ts';

interface SaddleFit {
  readonly at: ImagePoint;
  /** One-sigma noise of `at` along each axis, px. */
  readonly sigmaPx: number;
  /** Width of the blur (standard deviation of the edge spread), px: geometric mean over the two edges. */
  readonly blurPx: number;
  /** Light of paper and ink at the mark, 0..1. */
  readonly paper: number;
  readonly ink: number;
}

export type SaddleFault = 'outside' | 'faint' | 'misshapen';
export type SaddleOutcome = { readonly fit: SaddleFit } | { readonly fault: SaddleFault };

/** Used share of the mark's radius: beyond it the arcs' blur comes in. The weight falls off from the inner share on. */
const OUTER_SHARE = 0.85;
const INNER_SHARE = 0.6;
/** A larger window only costs time: the noise is far below the paper's own unevenness by then. */
const WINDOW_PX = 26;
/** Ink must be darker than this share of the paper. */
const FAINTEST = 0.7;
/** Windows that reach further than this are first fitted coarsely. */
const WIDE_PX = 12;
/** Steps shorter than this are done with: a twentieth of the best mark's noise. */
const SETTLED_PX = 2e-3;
/** RMS misfit above this share of the contrast is no hourglass (finger, glare, crease). */
const WORST_MISFIT = 0.12;
/** The two edges may stand off their predicted directions by this much, rad. */
const WORST_TURN = 0.12;
/** Neighbouring pixels share noise (demosaicing, JPEG, sharpening): the fit knows less than it counts. */
const SHARED_NOISE = 2;

/** Unknowns of the fit: place, directions of the two edges' normals, their blurs, paper (level, slopes), ink. */
const N = 10;
const [CU, CV, ALPHA, BETA, BLUR_A, BLUR_B, PAPER, PAPER_U, PAPER_V, INK] = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9];

/** erf to 1.5e-7 (Abramowitz & Stegun 7.1.26), given exp(-t^2) as well. */
export function errorFunction(t: number, gauss: number): number {
  const a = Math.abs(t);
  const k = 1 / (1 + 0.3275911 * a);
  const tail =
    k * (0.254829592 + k * (-0.284496736 + k * (1.421413741 + k * (-1.453152027 + k * 1.061405429)))) * gauss;
  return t >= 0 ? 1 - tail : tail - 1;
}

const INNER = INNER_SHARE / OUTER_SHARE;

/** Smooth weight of a pixel by the square of its distance from the mark's centre, in window radii. */
function windowWeight(squaredShare: number): number {
  if (squaredShare >= 1) return 0;
  if (squaredShare <= INNER * INNER) return 1;
  return 0.5 + 0.5 * Math.cos((Math.PI * (Math.sqrt(squaredShare) - INNER)) / (1 - INNER));
}

/** exp(-t^2), 0 where it is below 1e-10: pixels that far from an edge say nothing of its place. */
function gaussOf(t: number): number {
  const square = t * t;
  return square > 23 ? 0 : Math.exp(-square);
}

interface Window {
  /** px to share of the window's radius: rows (ax, ay), (bx, by). */
  readonly toShare: readonly [number, number, number, number];
  readonly reachPx: number;
}

/** The window in pixels of a mark under its local affine map. */
function windowOf([a, b, c, d]: LocalAffine): Window | undefined {
  const det = a * d - b * c;
  const pxPerMm = Math.sqrt(Math.abs(det));
  if (!(pxPerMm > 0)) return undefined;
  const radiusMm = Math.min(OUTER_SHARE * MARK_RADIUS_MM, WINDOW_PX / pxPerMm);
  const k = 1 / (det * radiusMm);
  return {
    toShare: [d * k, -b * k, -c * k, a * k],
    reachPx: radiusMm * Math.max(Math.hypot(a, b), Math.hypot(c, d)),
  };
}

interface Sums {
  readonly normal: Float64Array;
  readonly right: Float64Array;
  readonly squares: number;
  readonly weight: number;
}

/** Normal equations of the misfit at `p`, from every `stride`-th row and column; the window follows the place. */
function sumsAt(patch: LightPatch, window: Window, p: Float64Array, stride: number): Sums {
  const normal = new Float64Array(N * N);
  const right = new Float64Array(N);
  const slope = new Float64Array(N);
  const [cu, cv, ink] = [p[CU]!, p[CV]!, p[INK]!];
  const [ca, sa, cb, sb] = [Math.cos(p[ALPHA]!), Math.sin(p[ALPHA]!), Math.cos(p[BETA]!), Math.sin(p[BETA]!)];
  const [ka, kb] = [1 / (Math.SQRT2 * p[BLUR_A]!), 1 / (Math.SQRT2 * p[BLUR_B]!)];
  const [xu, xv, yu, yv] = window.toShare;
  let squares = 0;
  let weights = 0;
  const top = Math.max(0, Math.ceil(cv - window.reachPx) - patch.top);
  const bottom = Math.min(patch.height - 1, Math.floor(cv + window.reachPx) - patch.top);
  const left = Math.max(0, Math.ceil(cu - window.reachPx) - patch.left);
  const rightmost = Math.min(patch.width - 1, Math.floor(cu + window.reachPx) - patch.left);
  for (let row = top; row <= bottom; row += stride) {
    const dv = patch.top + row - cv;
    for (let column = left; column <= rightmost; column += stride) {
      const du = patch.left + column - cu;
      const weight = windowWeight((xu * du + xv * dv) ** 2 + (yu * du + yv * dv) ** 2);
      if (weight === 0) continue;
      // Signed distances from the two edges, and along them.
      const ta = (ca * du + sa * dv) * ka;
      const tb = (cb * du + sb * dv) * kb;
      const ga = gaussOf(ta);
      const gb = gaussOf(tb);
      const ea = errorFunction(ta, ga);
      const eb = errorFunction(tb, gb);
      const share = 0.5 + 0.5 * ea * eb;
      const paper = p[PAPER]! + p[PAPER_U]! * du + p[PAPER_V]! * dv;
      const misfit = patch.light[row * patch.width + column]! - (paper + (ink - paper) * share);
      // d share / d t = (1/2) (2/sqrt(pi)) gauss * other, times the contrast.
      const fa = ((ink - paper) * ga * eb) / Math.sqrt(Math.PI);
      const fb = ((ink - paper) * gb * ea) / Math.sqrt(Math.PI);
      slope[CU] = -fa * ca * ka - fb * cb * kb - p[PAPER_U]! * (1 - share);
      slope[CV] = -fa * sa * ka - fb * sb * kb - p[PAPER_V]! * (1 - share);
      slope[ALPHA] = fa * (ca * dv - sa * du) * ka;
      slope[BETA] = fb * (cb * dv - sb * du) * kb;
      slope[BLUR_A] = (-fa * ta) / p[BLUR_A]!;
      slope[BLUR_B] = (-fb * tb) / p[BLUR_B]!;
      slope[PAPER] = 1 - share;
      slope[PAPER_U] = du * (1 - share);
      slope[PAPER_V] = dv * (1 - share);
      slope[INK] = share;
      for (let i = 0; i < N; i++) {
        const weighted = weight * slope[i]!;
        if (weighted === 0) continue;
        right[i]! += weighted * misfit;
        for (let j = 0; j <= i; j++) normal[i * N + j]! += weighted * slope[j]!;
      }
      squares += weight * misfit * misfit;
      weights += weight;
    }
  }
  for (let i = 0; i < N; i++) for (let j = i + 1; j < N; j++) normal[i * N + j] = normal[j * N + i]!;
  return { normal, right, squares, weight: weights };
}

/** Directions of the edges' normals: gradients of the card's x and y in the picture. */
function edgeDirections([a, b, c, d]: LocalAffine): readonly [number, number] {
  const det = a * d - b * c;
  return [Math.atan2(-b / det, d / det), Math.atan2(a / det, -c / det)];
}

function startingValues(patch: LightPatch, predicted: ImagePoint, slope: LocalAffine): Float64Array {
  // Quantiles of a tenth of the pixels are near enough to start from.
  const sorted = patch.light.filter((_, i) => i % 11 === 0).sort();
  const quantile = (q: number): number => sorted[Math.floor(q * (sorted.length - 1))]!;
  const [alpha, beta] = edgeDirections(slope);
  const p = new Float64Array(N);
  p.set([predicted.u, predicted.v, alpha, beta, 1.5, 1.5, quantile(0.85), 0, 0, quantile(0.12)]);
  return p;
}

const EASIEST_STEP: readonly number[] = [2, 2, 0.1, 0.1, 0.7, 0.7];

/** A damped step, kept within what the linearised model can foretell. */
function stepFrom(sums: Sums, damping: number): Float64Array | undefined {
  const damped = sums.normal.slice();
  for (let i = 0; i < N; i++) damped[i * N + i]! *= 1 + damping;
  const factor = choleskyFactor(damped, N);
  if (!factor) return undefined;
  const step = choleskySolve(factor, N, sums.right);
  const excess = Math.max(1, ...EASIEST_STEP.map((limit, i) => Math.abs(step[i]!) / limit));
  return step.map((value) => value / excess);
}

function moved(p: Float64Array, step: Float64Array): Float64Array {
  const next = p.map((value, i) => value + step[i]!);
  next[BLUR_A] = Math.min(8, Math.max(0.25, next[BLUR_A]!));
  next[BLUR_B] = Math.min(8, Math.max(0.25, next[BLUR_B]!));
  return next;
}

/** Levenberg-Marquardt on the mean square misfit until a step moves the place by less than `settledPx`. */
function descend(
  patch: LightPatch,
  window: Window,
  start: Float64Array,
  stride: number,
  settledPx: number,
): { p: Float64Array; sums: Sums } {
  let p = start;
  let sums = sumsAt(patch, window, p, stride);
  let damping = 1e-3;
  for (let round = 0; round < 25; round++) {
    const step = stepFrom(sums, damping);
    if (!step) break;
    const next = moved(p, step);
    // A step this short changes nothing that the sums say.
    if (Math.hypot(step[CU]!, step[CV]!) < settledPx) return { p: next, sums };
    const nextSums = sumsAt(patch, window, next, stride);
    if (nextSums.squares / nextSums.weight < sums.squares / sums.weight) {
      p = next;
      sums = nextSums;
      damping = Math.max(1e-6, damping / 5);
    } else damping *= 6;
    if (damping > 1e3) break;
  }
  return { p, sums };
}

/** A quarter of a wide window's pixels finds the way; all of them say where the point is. */
function fitModel(patch: LightPatch, window: Window, start: Float64Array): { p: Float64Array; sums: Sums } {
  const near = window.reachPx > WIDE_PX ? descend(patch, window, start, 2, 0.02).p : start;
  return descend(patch, window, near, 1, SETTLED_PX);
}

function turnBetween(a: number, b: number): number {
  const turn = Math.abs(a - b) % (2 * Math.PI);
  return Math.min(turn, 2 * Math.PI - turn);
}

/**
 * Fits the hourglass near `predicted`, in the photo's own pixels and in linear light. `slope` is the local map
 * from the card's mm to pixels there. A fault says why there is no trustworthy point: the window leaves the
 * picture, ink and paper are too alike, or what is seen is not an hourglass (covered, creased, glaring).
 */
export function fitSaddle(photo: Raster, predicted: ImagePoint, slope: LocalAffine): SaddleOutcome {
  const window = windowOf(slope);
  if (!window) return { fault: 'misshapen' };
  const { u, v } = predicted;
  const isInside = (at: ImagePoint): boolean =>
    at.u >= window.reachPx &&
    at.v >= window.reachPx &&
    at.u <= photo.width - 1 - window.reachPx &&
    at.v <= photo.height - 1 - window.reachPx;
  if (!isInside(predicted)) return { fault: 'outside' };
  const patch = lightPatch(photo, u, v, 1.3 * window.reachPx);
  const { p, sums } = fitModel(patch, window, startingValues(patch, predicted, slope));
  const at = { u: p[CU]!, v: p[CV]! };
  const [paper, ink] = [p[PAPER]!, p[INK]!];
  if (!(ink < FAINTEST * paper)) return { fault: 'faint' };
  const variance = sums.squares / Math.max(1, sums.weight - N);
  const [alpha, beta] = edgeDirections(slope);
  const isShapely =
    Math.sqrt(variance) < WORST_MISFIT * (paper - ink) &&
    Math.hypot(at.u - u, at.v - v) < 0.4 * window.reachPx &&
    turnBetween(p[ALPHA]!, alpha) < WORST_TURN &&
    turnBetween(p[BETA]!, beta) < WORST_TURN;
  const inverse = isShapely ? symmetricInverse(sums.normal, N) : undefined;
  if (!inverse) return { fault: 'misshapen' };
  const sigmaPx = SHARED_NOISE * Math.sqrt((variance * (inverse[0]! + inverse[N + 1]!)) / 2);
  return { fit: { at, sigmaPx, blurPx: Math.sqrt(p[BLUR_A]! * p[BLUR_B]!), paper, ink } };
}
