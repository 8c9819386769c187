/**
 * One straight side of a card or sheet, found in the photo's own pixels: profiles across it, a robust curve through
 * their strongest steps, and the half-way crossing of each in linear light.
 */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { LINEAR_FROM_SRGB, type Raster } from '../vision/raster.ts';
import type { SeenSidePlace } from './solve-target.ts';
import { fitStep, type Profile, type StepFit } from './step-fit.ts';

/** How a side is looked for. */
export interface SideSearch {
  /** Nominal ends in the target's frame, mm; the outside lies to the left of the way. */
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  /** Left out at either end, mm: rounded corners, and the neighbouring side's blur. */
  readonly endMm: number;
  /** How far to either side it is looked for, mm. */
  readonly reachMm: number;
  readonly map: (point: PlanePoint) => ImagePoint;
}

export interface FoundSide {
  readonly places: readonly SeenSidePlace[];
  /** Share of the side's places at which it was seen. */
  readonly share: number;
  /** Typical contrast of the side, linear light. */
  readonly contrast: number;
  /** Width of its blur (standard deviation of the edge spread), px. */
  readonly blurPx: number;
  readonly pxPerMm: number;
}

const PLACES = 24;
/** Distance between samples of a profile, px. */
const STEP_PX = 0.5;
const LEAST_REACH_PX = 5;
/** Steps weaker than this share of the side's typical one are no candidates. */
const LEAST_STRENGTH = 0.25;
const CANDIDATES = 3;
/** Candidates this near to a line through two others agree with it, px. */
const AGREES_PX = 2;
/** Blurs tried, px. */
const BLURS = [0.6, 0.85, 1.2, 1.7, 2.4, 3.4];
const LEAST_SHARE = 0.5;
/** Noise that no profile sees: lens model and the edge's own unevenness. */
const MODEL_NOISE_PX = 0.05;
const EDGE_NOISE_MM = 0.02;

/** Colour profile across the side, averaged along a stretch of it; linear light, three values a sample. */
interface Stretch {
  /** -1 .. 1 along the side. */
  readonly t: number;
  readonly middle: ImagePoint;
  /** Unit normal, outward. */
  readonly normal: ImagePoint;
  readonly reachPx: number;
  readonly pxPerMm: number;
  readonly colors: Float64Array;
}

function addSample(photo: Raster, u: number, v: number, colors: Float64Array, at: number): boolean {
  const column = Math.floor(u);
  const row = Math.floor(v);
  if (!(column >= 0 && row >= 0 && column + 1 < photo.width && row + 1 < photo.height)) return false;
  const [a, b] = [u - column, v - row];
  const { data } = photo;
  const from = (row * photo.width + column) * 4;
  const below = from + photo.width * 4;
  for (let k = 0; k < 3; k++) {
    const upper = (1 - a) * LINEAR_FROM_SRGB[data[from + k]!]! + a * LINEAR_FROM_SRGB[data[from + 4 + k]!]!;
    const lower = (1 - a) * LINEAR_FROM_SRGB[data[below + k]!]! + a * LINEAR_FROM_SRGB[data[below + 4 + k]!]!;
    colors[at + k]! += (1 - b) * upper + b * lower;
  }
  return true;
}

/** The profile at place `i` of the side; undefined where it leaves the picture. */
function stretchAt(
  photo: Raster,
  { from, to, endMm, reachMm, map }: SideSearch,
  i: number,
): Stretch | undefined {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const way = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
  const partMm = (length - 2 * endMm) / PLACES;
  const s = endMm + (i + 0.5) * partMm;
  const place = (along: number): PlanePoint => ({ x: from.x + along * way.x, y: from.y + along * way.y });
  const [p, q] = [map(place(s - partMm / 2)), map(place(s + partMm / 2))];
  const middle = { u: (p.u + q.u) / 2, v: (p.v + q.v) / 2 };
  const lengthPx = Math.hypot(q.u - p.u, q.v - p.v);
  if (!(lengthPx > 0)) return undefined;
  const along = { u: (q.u - p.u) / lengthPx, v: (q.v - p.v) / lengthPx };
  const out = map({ x: place(s).x - way.y, y: place(s).y + way.x });
  const across = along.u * (out.v - middle.v) - along.v * (out.u - middle.u);
  const normal = across >= 0 ? { u: -along.v, v: along.u } : { u: along.v, v: -along.u };
  const pxPerMm = Math.abs(across);
  const reachPx = Math.ceil(Math.max(LEAST_REACH_PX, reachMm * pxPerMm));
  const samples = Math.round((2 * reachPx) / STEP_PX) + 1;
  const lines = Math.max(3, Math.round(lengthPx));
  const colors = new Float64Array(3 * samples);
  for (let line = 0; line < lines; line++) {
    const shift = ((line + 0.5) / lines - 0.5) * lengthPx;
    const [u0, v0] = [middle.u + shift * along.u, middle.v + shift * along.v];
    for (let k = 0; k < samples; k++) {
      const d = k * STEP_PX - reachPx;
      if (!addSample(photo, u0 + d * normal.u, v0 + d * normal.v, colors, 3 * k)) return undefined;
    }
  }
  return {
    t: (2 * (s - length / 2)) / length,
    middle,
    normal,
    reachPx,
    pxPerMm,
    colors: colors.map((value) => value / lines),
  };
}

interface Candidate {
  readonly stretch: number;
  readonly t: number;
  readonly place: number;
  readonly strength: number;
}

/** The strongest changes of colour across a stretch, on a scale as the eye has it (square root of light). */
function candidatesOf({ t, colors, reachPx }: Stretch, stretch: number): Candidate[] {
  const samples = colors.length / 3;
  const half = Math.round(1.5 / STEP_PX);
  const change = Float64Array.from({ length: samples }, (_, k) => {
    if (k < half || k + half >= samples) return 0;
    let square = 0;
    for (let c = 0; c < 3; c++) {
      square += (Math.sqrt(colors[3 * (k + half) + c]!) - Math.sqrt(colors[3 * (k - half) + c]!)) ** 2;
    }
    return Math.sqrt(square);
  });
  const peaks: Candidate[] = [];
  for (let k = half; k + half < samples; k++) {
    if (change[k]! < change[k - 1]! || change[k]! <= change[k + 1]! || change[k]! === 0) continue;
    peaks.push({ stretch, t, place: k * STEP_PX - reachPx, strength: change[k]! });
  }
  return peaks.sort((a, b) => b.strength - a.strength).slice(0, CANDIDATES);
}

/** place = a + b t + c t^2. */
type Curve = readonly [number, number, number];
const curveAt = ([a, b, c]: Curve, t: number): number => a + t * (b + t * c);

/** The straight line that most strength agrees with: every pair of far candidates is tried. */
function strongestLine(candidates: readonly Candidate[]): Curve | undefined {
  let best: Curve | undefined;
  let most = 0;
  for (const p of candidates) {
    for (const q of candidates) {
      if (q.t - p.t < 0.7) continue;
      const b = (q.place - p.place) / (q.t - p.t);
      const a = p.place - b * p.t;
      let sum = 0;
      let last = -1;
      for (const { stretch, t, place, strength } of candidates) {
        const off = Math.abs(place - a - b * t);
        // A stretch counts once; its candidates stand strongest first.
        if (off > AGREES_PX || stretch === last) continue;
        last = stretch;
        sum += strength * (1 - 0.5 * (off / AGREES_PX) ** 2);
      }
      if (sum > most) [best, most] = [[a, b, 0], sum];
    }
  }
  return best;
}

/** Weighted least squares of a parabola (a line for few points), its bow held back so that few points do not bend it. */
function fitCurve(
  points: readonly { readonly t: number; readonly place: number }[],
  weights: readonly number[],
): Curve {
  const m = new Float64Array(12);
  points.forEach(({ t, place }, i) => {
    const powers = [1, t, t * t];
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) m[4 * r + c]! += weights[i]! * powers[r]! * powers[c]!;
      m[4 * r + 3]! += weights[i]! * powers[r]! * place;
    }
  });
  for (let r = 0; r < 3; r++) m[5 * r]! += r === 2 ? 0.02 : 1e-9;
  for (let i = 0; i < 3; i++) {
    for (let r = 0; r < 3; r++) {
      if (r === i) continue;
      const factor = m[4 * r + i]! / m[5 * i]!;
      for (let c = i; c < 4; c++) m[4 * r + c]! -= factor * m[4 * i + c]!;
    }
  }
  return [m[3]! / m[0]!, m[7]! / m[5]!, m[11]! / m[10]!];
}

const median = (values: readonly number[]): number =>
  values.length === 0 ? 0 : [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

/** A parabola through points of which some are strays: Tukey's weights by the median distance. */
function robustCurve(
  points: readonly { readonly t: number; readonly place: number }[],
  start: Curve,
  leastPx: number,
): { readonly curve: Curve; readonly weights: readonly number[]; readonly spreadPx: number } {
  let curve = start;
  let weights: readonly number[] = [];
  let spreadPx = leastPx;
  for (let round = 0; round < 8; round++) {
    const off = points.map(({ t, place }) => Math.abs(place - curveAt(curve, t)));
    spreadPx = Math.max(leastPx, 1.483 * median(off));
    const limit = 4.685 * spreadPx;
    weights = off.map((value) => Math.max(0, 1 - (value / limit) ** 2) ** 2);
    curve = fitCurve(points, weights);
  }
  return { curve, weights, spreadPx };
}

/** Light along the line in colour space from inside to outside at a place of the profile, and how far they are apart. */
function projected(
  { colors, reachPx }: Stretch,
  place: number,
  windowPx: number,
): Profile & { readonly contrast: number } {
  const samples = colors.length / 3;
  const [inside, outside] = [
    [0, 0, 0],
    [0, 0, 0],
  ];
  let [insideCount, outsideCount] = [0, 0];
  for (let k = 0; k < samples; k++) {
    const d = k * STEP_PX - reachPx - place;
    if (Math.abs(d) > windowPx || Math.abs(d) < 0.35 * windowPx) continue;
    for (let c = 0; c < 3; c++) (d < 0 ? inside! : outside!)[c]! += colors[3 * k + c]!;
    if (d < 0) insideCount++;
    else outsideCount++;
  }
  const axis = [0, 1, 2].map((c) => outside![c]! / outsideCount - inside![c]! / insideCount);
  const contrast = Math.hypot(...axis);
  const unit = axis.map((value) => value / (contrast || 1));
  const values = Float64Array.from(
    { length: samples },
    (_, k) => unit[0]! * colors[3 * k]! + unit[1]! * colors[3 * k + 1]! + unit[2]! * colors[3 * k + 2]!,
  );
  return { values, stepPx: STEP_PX, reachPx, contrast };
}

/** Half-way crossings of all stretches near a curve, with the one blur that suits them best. */
function crossings(
  stretches: readonly Stretch[],
  curve: Curve,
): { readonly fits: readonly (StepFit | undefined)[]; readonly blurPx: number } {
  const profiles = stretches.map((stretch) => {
    const windowPx = Math.min(stretch.reachPx, Math.max(4, 1.4 * stretch.pxPerMm));
    const start = curveAt(curve, stretch.t);
    return { profile: projected(stretch, start, windowPx), start, windowPx };
  });
  const fitAll = (blurPx: number) =>
    profiles.map(({ profile, start, windowPx }) => fitStep(profile, start, windowPx, blurPx));
  const trials = BLURS.map((blurPx) => {
    const fits = fitAll(blurPx);
    // Misfit as a share of the step, so that strong stretches do not decide alone; failures count as bad ones.
    const misfit = median(fits.map((fit) => (fit ? fit.noise / Math.max(1e-6, Math.abs(fit.step)) : 1)));
    return { fits, misfit, blurPx };
  });
  return trials.reduce((best, trial) => (trial.misfit < best.misfit ? trial : best));
}

/** Looks for a side in the photo, or undefined when it is not clearly seen along at least half of its length. */
export function findSide(photo: Raster, search: SideSearch): FoundSide | undefined {
  const stretches = Array.from({ length: PLACES }, (_, i) => stretchAt(photo, search, i) ?? []).flat();
  if (stretches.length < LEAST_SHARE * PLACES) return undefined;
  const all = stretches.map((stretch, i) => candidatesOf(stretch, i));
  const typical = median(all.map(([first]) => first?.strength ?? 0));
  const candidates = all.flat().filter(({ strength }) => strength > LEAST_STRENGTH * typical);
  const line = strongestLine(candidates);
  if (!line) return undefined;
  // The nearest candidate of each stretch, for the bow of the lens.
  const nearest = stretches.flatMap((_, i) => {
    const own = candidates.filter(({ stretch }) => stretch === i);
    const off = ({ t, place }: Candidate): number => Math.abs(place - curveAt(line, t));
    return own.length === 0 ? [] : [own.reduce((best, one) => (off(one) < off(best) ? one : best))];
  });
  const rough = robustCurve(nearest, line, 0.7);
  const { fits, blurPx } = crossings(stretches, rough.curve);
  const found = stretches.flatMap((stretch, i) => {
    const fit = fits[i];
    return fit ? [{ t: stretch.t, place: fit.place, stretch, contrast: Math.abs(fit.step) }] : [];
  });
  if (found.length < LEAST_SHARE * PLACES) return undefined;
  const fine = robustCurve(found, rough.curve, 0.04);
  const kept = found.filter((_, i) => fine.weights[i]! > 0.2);
  if (kept.length < LEAST_SHARE * PLACES) return undefined;
  const places = kept.map(({ place, stretch: { middle, normal, pxPerMm } }) => ({
    seen: { u: middle.u + place * normal.u, v: middle.v + place * normal.v },
    normal,
    sigmaPx: Math.hypot(fine.spreadPx, MODEL_NOISE_PX, EDGE_NOISE_MM * pxPerMm),
  }));
  return {
    places,
    share: kept.length / PLACES,
    contrast: median(kept.map(({ contrast }) => contrast)),
    blurPx,
    pxPerMm: median(kept.map(({ stretch }) => stretch.pxPerMm)),
  };
}
