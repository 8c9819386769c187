import { median } from '../geometry/median.ts';

/** Curves through what was found across a straight side: a straight line first, then the bow of the lens. */

/** A change of colour across a stretch of a side. */
export interface Candidate {
  readonly stretch: number;
  readonly t: number;
  readonly place: number;
  readonly strength: number;
}

/** Candidates this near to a line through two others agree with it, px. */
const AGREES_PX = 2;
/** So many lines are told apart, down to this share of the strongest one's support. */
const MOST_LINES = 4;
const LEAST_SUPPORT = 0.3;

/** place = a + b t + c t^2. */
export type Curve = readonly [number, number, number];
export const curveAt = ([a, b, c]: Curve, t: number): number => a + t * (b + t * c);

/** A straight line across a side's stretches, and how much strength agrees with it. */
export interface SideLine {
  readonly curve: Curve;
  readonly support: number;
}

/** The straight line that most strength agrees with: every pair of far candidates is tried. */
function strongestLine(candidates: readonly Candidate[]): SideLine | undefined {
  let best: SideLine | undefined;
  for (const p of candidates) {
    for (const q of candidates) {
      if (q.t - p.t < 0.7) continue;
      const b = (q.place - p.place) / (q.t - p.t);
      const a = p.place - b * p.t;
      let support = 0;
      let last = -1;
      for (const { stretch, t, place, strength } of candidates) {
        const off = Math.abs(place - a - b * t);
        // A stretch counts once; its candidates stand strongest first.
        if (off > AGREES_PX || stretch === last) continue;
        last = stretch;
        support += strength * (1 - 0.5 * (off / AGREES_PX) ** 2);
      }
      if (support > (best?.support ?? 0)) best = { curve: [a, b, 0], support };
    }
  }
  return best;
}

/**
 * The strongest lines, strongest first, none of which shares its candidates with another: an edge and a line drawn
 * beside it look alike until all four sides are seen together.
 */
export function strongestLines(candidates: readonly Candidate[]): readonly SideLine[] {
  const lines: SideLine[] = [];
  let left = candidates;
  while (lines.length < MOST_LINES) {
    const line = strongestLine(left);
    if (!line || line.support < LEAST_SUPPORT * (lines[0]?.support ?? 0)) break;
    lines.push(line);
    left = left.filter(({ t, place }) => Math.abs(place - curveAt(line.curve, t)) > AGREES_PX);
  }
  return lines;
}

/** Places along a side scatter by at least this, px. */
export const LEAST_SCATTER_PX = 0.04;

/** Noise of one place that the bow's doubt is weighed against, px. */
const PLACE_NOISE_PX = 0.3;

/** Weighted least squares of a parabola whose bow is held back by so many places' worth of straightness. */
function fitCurve(
  points: readonly { readonly t: number; readonly place: number }[],
  weights: readonly number[],
  stiffness: number,
): Curve {
  const m = new Float64Array(12);
  points.forEach(({ t, place }, i) => {
    const powers = [1, t, t * t];
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) m[4 * r + c]! += weights[i]! * powers[r]! * powers[c]!;
      m[4 * r + 3]! += weights[i]! * powers[r]! * place;
    }
  });
  for (let r = 0; r < 3; r++) m[5 * r]! += r === 2 ? stiffness : 1e-9;
  for (let i = 0; i < 3; i++) {
    for (let r = 0; r < 3; r++) {
      if (r === i) continue;
      const factor = m[4 * r + i]! / m[5 * i]!;
      for (let c = i; c < 4; c++) m[4 * r + c]! -= factor * m[4 * i + c]!;
    }
  }
  return [m[3]! / m[0]!, m[7]! / m[5]!, m[11]! / m[10]!];
}

/** A parabola through points of which some are strays: Tukey's weights by the median distance. Sides bow by about `bowPx`. */
export function robustCurve(
  points: readonly { readonly t: number; readonly place: number }[],
  start: Curve,
  leastPx: number,
  bowPx: number,
): { readonly curve: Curve; readonly weights: readonly number[]; readonly spreadPx: number } {
  let curve = start;
  let weights: readonly number[] = [];
  let spreadPx = leastPx;
  for (let round = 0; round < 8; round++) {
    const off = points.map(({ t, place }) => Math.abs(place - curveAt(curve, t)));
    spreadPx = Math.max(leastPx, 1.483 * median(off));
    const limit = 4.685 * spreadPx;
    weights = off.map((value) => Math.max(0, 1 - (value / limit) ** 2) ** 2);
    curve = fitCurve(points, weights, (PLACE_NOISE_PX / bowPx) ** 2);
  }
  return { curve, weights, spreadPx };
}

/** So many of the points lie on the side at the least, and so far apart must two of them be to tell its way, of their whole span. */
const TIGHT_SHARE = 0.6;
const TIGHT_SPAN = 0.3;
const LEAST_POINTS = 6;

/**
 * The line through two of the points to which the better part of them lies closest (least quantile of squares;
 * Rousseeuw 1984, from memory): strays at one end, which draw a fit to all points after them, have no say. The points in
 * order along the side; undefined where they are few.
 */
export function tightestLine(
  points: readonly { readonly t: number; readonly place: number }[],
): Curve | undefined {
  if (points.length < LEAST_POINTS) return undefined;
  const rank = Math.ceil(TIGHT_SHARE * points.length) - 1;
  const span = points.at(-1)!.t - points[0]!.t;
  let best: Curve | undefined;
  let least = Infinity;
  for (const p of points) {
    for (const q of points) {
      if (q.t - p.t < TIGHT_SPAN * span) continue;
      const b = (q.place - p.place) / (q.t - p.t);
      const line: Curve = [p.place - b * p.t, b, 0];
      const off = points.map(({ t, place }) => Math.abs(place - curveAt(line, t))).sort((x, y) => x - y)[
        rank
      ]!;
      if (off < least) [best, least] = [line, off];
    }
  }
  return best;
}

/** Neighbours are taken to share at most so much of their error. */
const MOST_SHARED = 0.8;

/**
 * By how much the noise of single places must be raised because neighbours err alike (something lies along the side):
 * the effective number of measurements of a first-order autoregressive series (Bayley & Hammersley 1946; from memory).
 */
export function sharedNoise(off: readonly number[]): number {
  const squares = off.reduce((sum, value) => sum + value * value, 0);
  const products = off.reduce((sum, value, i) => sum + value * (off[i + 1] ?? 0), 0);
  const r = Math.min(MOST_SHARED, Math.max(0, products / (squares || 1)));
  return Math.sqrt((1 + r) / (1 - r));
}
