import { median } from '../../geometry/median.ts';
import type { ImagePoint } from '../../geometry/point.ts';
import { leavingDirection } from './clean-graph.ts';
import { lengthPx } from './stroke-graph.ts';
import { type PaperPhoto, readProfile } from './stroke-profile.ts';

/** A stroke measured along its length. */
export interface RefinedStroke {
  /** Centreline in the photo, px, in order; places without a clear profile are left out. */
  readonly places: readonly ImagePoint[];
  /** Width at each place, px. */
  readonly widths: readonly number[];
  /** Middle value of the darkness along it, 0..1. */
  readonly darkness: number;
  /** Middle value of the paper's light beside it. */
  readonly paperLight: number;
  /** Share of the looked-at places that showed a clear stroke. */
  readonly clearShare: number;
}

interface RoughStroke {
  readonly points: readonly ImagePoint[];
  readonly widthPx: number;
  readonly closed: boolean;
}

/** Places along the stroke lie this far apart, and directions are taken over this length either way, mm. */
const STEP_MM = 0.35;
const DIRECTION_MM = 0.9;
/** Length of stroke looked at in one profile, either way, mm: averages the grain of pencil. */
const HALF_LENGTH_MM = 0.3;
/** A place further off its neighbours' middle than this is another thing's, in stroke widths. */
const STRAY_WIDTHS = 0.3;
/** Places fainter than this share of the stroke's own darkness are a gap. */
const FAINT_SHARE = 0.3;

/** Points at even steps along a line; a closed one does not repeat its first. */
function evenSteps(points: readonly ImagePoint[], closed: boolean, stepPx: number): ImagePoint[] {
  const whole = lengthPx(points);
  const count = Math.max(2, Math.round(whole / stepPx));
  const result: ImagePoint[] = [];
  let passed = 0;
  let i = 1;
  for (let k = 0; k <= (closed ? count - 1 : count); k++) {
    const along = (k * whole) / count;
    for (;;) {
      const [a, b] = [points[i - 1]!, points[i]!];
      const step = Math.hypot(b.u - a.u, b.v - a.v);
      if (passed + step >= along || i === points.length - 1) {
        const share = step > 0 ? Math.min(1, (along - passed) / step) : 0;
        result.push({ u: a.u + share * (b.u - a.u), v: a.v + share * (b.v - a.v) });
        break;
      }
      passed += step;
      i++;
    }
  }
  return result;
}

/** Means over neighbours within `reach`, drawn in at the ends of open lines. */
function smoothed(points: readonly ImagePoint[], closed: boolean, reach: number): ImagePoint[] {
  const count = points.length;
  return points.map((_, i) => {
    const r = closed ? reach : Math.min(reach, i, count - 1 - i);
    let [u, v] = [0, 0];
    for (let k = i - r; k <= i + r; k++) {
      const point = points[((k % count) + count) % count]!;
      u += point.u;
      v += point.v;
    }
    return { u: u / (2 * r + 1), v: v / (2 * r + 1) };
  });
}

interface Pass {
  readonly places: ImagePoint[];
  readonly widths: number[];
  readonly darks: number[];
  readonly papers: number[];
  readonly looked: number;
}

/** Reads the stroke across at every point, with directions from the points themselves. */
function readAlong(
  photo: PaperPhoto,
  points: readonly ImagePoint[],
  closed: boolean,
  widthPx: number,
  pxPerMm: number,
): Pass {
  const count = points.length;
  const reach = Math.max(1, Math.round(DIRECTION_MM / STEP_MM));
  const pass: Pass = { places: [], widths: [], darks: [], papers: [], looked: count };
  const offsets: number[] = [];
  const at = (i: number) =>
    points[closed ? ((i % count) + count) % count : Math.min(count - 1, Math.max(0, i))]!;
  for (let i = 0; i < count; i++) {
    const [a, b] = [at(i - reach), at(i + reach)];
    const length = Math.hypot(b.u - a.u, b.v - a.v) || 1;
    const [nu, nv] = [(b.v - a.v) / length, -(b.u - a.u) / length];
    const { u, v } = points[i]!;
    const halfLength = Math.max(1, HALF_LENGTH_MM * pxPerMm);
    const reading = readProfile(photo, u, v, nu, nv, widthPx, halfLength);
    if (!reading) continue;
    pass.places.push({ u: u + reading.offsetPx * nu, v: v + reading.offsetPx * nv });
    pass.widths.push(reading.widthPx);
    pass.darks.push(reading.darkness);
    pass.papers.push(reading.paperLight);
    offsets.push(reading.offsetPx);
  }
  return withoutStrays(pass, offsets, STRAY_WIDTHS * widthPx + 0.5);
}

function withoutStrays(pass: Pass, offsets: readonly number[], limitPx: number): Pass {
  const least = FAINT_SHARE * median(pass.darks);
  const kept = offsets.map((offset, i) => {
    const near = offsets.slice(Math.max(0, i - 4), i + 5);
    return pass.darks[i]! >= least && Math.abs(offset - median(near)) <= limitPx;
  });
  const keep = <T>(values: readonly T[]): T[] => values.filter((_, i) => kept[i]);
  return {
    places: keep(pass.places),
    widths: keep(pass.widths),
    darks: keep(pass.darks),
    papers: keep(pass.papers),
    looked: pass.looked,
  };
}

/**
 * Measures a stroke's centreline and width in the photo's own pixels, starting from a rough line through it: twice,
 * the second time across the line that the first one found.
 */
export function refineStroke(photo: PaperPhoto, rough: RoughStroke, pxPerMm: number): RefinedStroke {
  const { closed, widthPx } = rough;
  const stepPx = STEP_MM * pxPerMm;
  const start = smoothed(evenSteps(rough.points, closed, stepPx), closed, 2);
  const first = readAlong(photo, start, closed, widthPx, pxPerMm);
  if (first.places.length < 3) return { places: [], widths: [], darkness: 0, paperLight: 0, clearShare: 0 };
  // Where the first pass saw nothing, the rough line goes on between what it saw.
  const width = median(first.widths);
  const again = readAlong(
    photo,
    smoothed(first.places, closed && first.places.length > 0.9 * first.looked, 1),
    closed,
    width,
    pxPerMm,
  );
  return {
    places: again.places,
    widths: again.widths,
    darkness: median(again.darks),
    paperLight: median(again.papers),
    clearShare: first.places.length / Math.max(1, first.looked),
  };
}

/** Length over which the way on from a stroke's end is taken, mm. */
const END_DIRECTION_MM = 2;

/**
 * Where the pencil's middle was when a stroke ended: half a stroke's width back from where the stroke's darkness has
 * fallen to a half along its own line. `places` run towards the end.
 */
export function endOfStroke(
  photo: PaperPhoto,
  places: readonly ImagePoint[],
  widthPx: number,
  pxPerMm: number,
): ImagePoint | undefined {
  const from = places[places.length - 1]!;
  const back = leavingDirection(places.slice(-12).toReversed(), 0, END_DIRECTION_MM * pxPerMm);
  const onward = { u: -back.u, v: -back.v };
  const step = Math.max(0.5, 0.1 * pxPerMm);
  const whole = median(
    [2, 3, 4, 5].map((k) => {
      const place = { u: from.u + k * step * back.u, v: from.v + k * step * back.v };
      return readProfile(photo, place.u, place.v, onward.v, -onward.u, widthPx, 1)?.darkness ?? 0;
    }),
  );
  if (whole === 0) return undefined;
  const most = 2 * widthPx + 1.5 * pxPerMm;
  for (let along = -1 * pxPerMm; along < most; along += step / 2) {
    const [u, v] = [from.u + along * onward.u, from.v + along * onward.v];
    const darkness = readProfile(photo, u, v, onward.v, -onward.u, widthPx, 0.8)?.darkness ?? 0;
    if (along > -0.5 * pxPerMm && darkness < whole / 2) {
      const end = along - widthPx / 2;
      return { u: from.u + end * onward.u, v: from.v + end * onward.v };
    }
  }
  return undefined;
}
