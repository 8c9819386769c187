/** Colour profiles across a straight side, from the photo's own pixels in linear light. */
import { median } from '../geometry/median.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { LINEAR_FROM_SRGB, type Raster } from '../vision/raster.ts';
import type { SeenSidePlace } from './solve-target.ts';
import type { Profile } from './step-fit.ts';

/** How a side is looked for. */
export interface SideSearch {
  /** Nominal ends in the target's frame, mm; the outside lies to the left of the way. */
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  /** Left out at either end, mm: rounded corners, and the neighbouring side's blur. */
  readonly endMm: number;
  /** How far to either side it is looked for, mm. */
  readonly reachMm: number;
  /** How far the lens, or curl, may bow it (one sigma), mm. */
  readonly bowMm: number;
  readonly map: (point: PlanePoint) => ImagePoint;
  /** Where the foot of the edge below a point of the face shows, when that is known. */
  readonly foot?: ((point: PlanePoint) => ImagePoint) | undefined;
}

export const PLACES = 24;
/** Distance between samples of a profile, px. */
export const STEP_PX = 0.5;
const LEAST_REACH_PX = 4;
/** Lines drawn on the table are narrower than this. */
const LINE_MM = 1.2;
const LINE_PX = 4;

/** Colour profile across the side, averaged along a stretch of it; linear light, three values a sample. */
export interface Stretch {
  /** -1 .. 1 along the side. */
  readonly t: number;
  readonly middle: ImagePoint;
  /** Unit normal, outward. */
  readonly normal: ImagePoint;
  /** How far the side is looked for, and how far the profile goes, either way. */
  readonly reachPx: number;
  readonly profilePx: number;
  readonly pxPerMm: number;
  /** How far the foot of the edge shows outside the face; negative where the face hides it, 0 where nothing is known. */
  readonly wallPx: number;
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
export function stretchAt(
  photo: Raster,
  { from, to, endMm, reachMm, map, foot }: SideSearch,
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
  const below = foot?.(place(s));
  const above = map(place(s));
  const wallPx = below ? (below.u - above.u) * normal.u + (below.v - above.v) * normal.v : 0;
  const reachPx = Math.ceil(Math.max(LEAST_REACH_PX, reachMm * pxPerMm));
  const profilePx = reachPx + Math.ceil(1.5 * Math.max(LINE_PX, LINE_MM * pxPerMm));
  const samples = Math.round((2 * profilePx) / STEP_PX) + 1;
  const lines = Math.max(3, Math.round(lengthPx));
  const colors = new Float64Array(3 * samples);
  for (let line = 0; line < lines; line++) {
    const shift = ((line + 0.5) / lines - 0.5) * lengthPx;
    const [u0, v0] = [middle.u + shift * along.u, middle.v + shift * along.v];
    for (let k = 0; k < samples; k++) {
      const d = k * STEP_PX - profilePx;
      if (!addSample(photo, u0 + d * normal.u, v0 + d * normal.v, colors, 3 * k)) return undefined;
    }
  }
  return {
    t: (2 * (s - length / 2)) / length,
    middle,
    normal,
    reachPx,
    profilePx,
    pxPerMm,
    wallPx,
    colors: colors.map((value) => value / lines),
  };
}

/**
 * The profile on a scale as the eye has it (square root of light), with a running median: lines drawn on a table vanish,
 * while a step between two areas stays where it is.
 */
export function areaColors({ colors, pxPerMm }: Stretch): Float64Array {
  const samples = colors.length / 3;
  const reach = Math.round(Math.max(LINE_PX, LINE_MM * pxPerMm) / STEP_PX);
  const middle = new Float64Array(colors.length);
  for (let c = 0; c < 3; c++) {
    const plane = Float64Array.from({ length: samples }, (_, k) => Math.sqrt(colors[3 * k + c]!));
    for (let k = 0; k < samples; k++) {
      const window = plane.subarray(Math.max(0, k - reach), Math.min(samples, k + reach + 1));
      middle[3 * k + c] = median(window);
    }
  }
  return middle;
}

/** Change of colour over `half` samples either way. */
export function changeOf(colors: Float64Array, half: number): Float64Array {
  const samples = colors.length / 3;
  return Float64Array.from({ length: samples }, (_, k) => {
    if (k < half || k + half >= samples) return 0;
    let square = 0;
    for (let c = 0; c < 3; c++) square += (colors[3 * (k + half) + c]! - colors[3 * (k - half) + c]!) ** 2;
    return Math.sqrt(square);
  });
}

/** Light along the line in colour space from inside to outside at a place of the profile, and how far they are apart. */
export function projected(
  { colors, profilePx }: Stretch,
  place: number,
  windowPx: number,
): Profile & { readonly inside: readonly number[]; readonly outside: readonly number[] } {
  const samples = colors.length / 3;
  const inside = [0, 0, 0];
  const outside = [0, 0, 0];
  let [insideCount, outsideCount] = [0, 0];
  for (let k = 0; k < samples; k++) {
    const d = k * STEP_PX - profilePx - place;
    if (Math.abs(d) > windowPx || Math.abs(d) < 0.35 * windowPx) continue;
    for (let c = 0; c < 3; c++) (d < 0 ? inside : outside)[c]! += colors[3 * k + c]!;
    if (d < 0) insideCount++;
    else outsideCount++;
  }
  const beyond = outside.map((value) => value / outsideCount);
  const within = inside.map((value) => value / insideCount);
  const axis = beyond.map((value, c) => value - within[c]!);
  const contrast = Math.hypot(...axis);
  const unit = axis.map((value) => value / (contrast || 1));
  const values = Float64Array.from(
    { length: samples },
    (_, k) => unit[0]! * colors[3 * k]! + unit[1]! * colors[3 * k + 1]! + unit[2]! * colors[3 * k + 2]!,
  );
  return {
    values,
    stepPx: STEP_PX,
    reachPx: profilePx,
    inside: within.map(Math.sqrt),
    outside: beyond.map(Math.sqrt),
  };
}

/** Noise that no profile sees: lens model and the edge's own unevenness. */
const MODEL_NOISE_PX = 0.05;
const EDGE_NOISE_MM = 0.02;

/** Noise of a place on a side whose places scatter by `scatterPx`. */
export function placeNoisePx(scatterPx: number, pxPerMm: number): number {
  return Math.hypot(scatterPx, MODEL_NOISE_PX, EDGE_NOISE_MM * pxPerMm);
}

/** Places found across stretches, px from their middles, as the solve takes them. */
export function placesAlong(
  found: readonly { readonly place: number; readonly stretch: Stretch }[],
  sigmaPxOf: (stretch: Stretch) => number,
): readonly SeenSidePlace[] {
  return found.map(({ place, stretch }) => ({
    seen: {
      u: stretch.middle.u + place * stretch.normal.u,
      v: stretch.middle.v + place * stretch.normal.v,
    },
    normal: stretch.normal,
    sigmaPx: sigmaPxOf(stretch),
  }));
}
