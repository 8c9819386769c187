/** Four straight sides in a closed contour: sheets of paper, cards, and whatever else is a rectangle seen at a slant. */
import simplify from 'simplify-js';
import type { PixelPlace } from './polygon-mask.ts';

export interface FourSides {
  /** Where neighbouring sides meet, in the contour's order. Within a few px. */
  readonly cornersPx: readonly [PixelPlace, PixelPlace, PixelPlace, PixelPlace];
  /** Share of the four sides that the contour really follows, 0..1. */
  readonly coverage: number;
}

/** A straight run of the contour: a point, unit direction, and how long it is. */
interface Run {
  readonly at: PixelPlace;
  readonly du: number;
  readonly dv: number;
  readonly length: number;
}

/** Runs shorter than this share of the longest run's length are no sides. */
const LEAST_RUN = 0.12;
/** Only the longest runs are combined. */
const MOST_RUNS = 9;
/** Two runs are one side when their directions differ by less than this, rad, and their lines by so many steps. */
const SAME_LINE_RAD = 0.07;
const SAME_LINE_STEPS = 2.5;
/** Neighbouring sides turn by at least this and at most pi less this, rad. */
const LEAST_TURN_RAD = 0.6;
/** Share of the sides that must be seen: all together, and the worst one. */
const LEAST_COVERAGE = 0.5;
const LEAST_SIDE_COVERAGE = 0.25;

/** The place farthest from another one. */
function farthestFrom(contour: readonly PixelPlace[], from: number): number {
  const origin = contour[from]!;
  const distance2 = ({ u, v }: PixelPlace): number => (u - origin.u) ** 2 + (v - origin.v) ** 2;
  return contour.reduce((best, place, i) => (distance2(place) > distance2(contour[best]!) ? i : best), from);
}

/** Places of a closed contour that keep it within `reach` (Douglas & Peucker 1973), split at two far places. */
function cornersOf(contour: readonly PixelPlace[], reach: number): number[] {
  const n = contour.length;
  const first = farthestFrom(contour, 0);
  const second = farthestFrom(contour, first);
  const round = Array.from({ length: n + 1 }, (_, k) => {
    const index = (first + k) % n;
    const { u, v } = contour[index]!;
    return { x: u, y: v, index };
  });
  const middle = (second - first + n) % n;
  // simplify-js hands back the very points it was given, so their indices come along.
  const halves = [round.slice(0, middle + 1), round.slice(middle)];
  const kept = halves.flatMap((half) => simplify(half, reach, true) as typeof half);
  return [...new Set(kept.map(({ index }) => index))].sort((i, j) => i - j);
}

/** Line through the middle of a run of contour places (total least squares), pointing along the contour. */
function runOf(contour: readonly PixelPlace[], from: number, to: number): Run | undefined {
  const n = contour.length;
  // The ends belong to the corners' rounding.
  const margin = Math.floor((to - from) * 0.08);
  const [first, last] = [from + margin, to - margin];
  const count = last - first + 1;
  if (count < 4) return undefined;
  let [su, sv, suu, svv, suv] = [0, 0, 0, 0, 0];
  for (let i = first; i <= last; i++) {
    const { u, v } = contour[i % n]!;
    su += u;
    sv += v;
    suu += u * u;
    svv += v * v;
    suv += u * v;
  }
  const at = { u: su / count, v: sv / count };
  const uu = suu / count - at.u ** 2;
  const vv = svv / count - at.v ** 2;
  const uv = suv / count - at.u * at.v;
  const angle = 0.5 * Math.atan2(2 * uv, uu - vv);
  const p = contour[from % n]!;
  const q = contour[to % n]!;
  const [du, dv] = [Math.cos(angle), Math.sin(angle)];
  const sign = du * (q.u - p.u) + dv * (q.v - p.v) >= 0 ? 1 : -1;
  return { at, du: sign * du, dv: sign * dv, length: Math.hypot(q.u - p.u, q.v - p.v) };
}

function turnFrom(a: Run, b: Run): number {
  return Math.atan2(a.du * b.dv - a.dv * b.du, a.du * b.du + a.dv * b.dv);
}

/** Joins runs that lie on one line: something lies over the side between them. */
function joinRuns(runs: readonly Run[], step: number): Run[] {
  const joined: Run[] = [];
  for (const run of [...runs].sort((a, b) => b.length - a.length)) {
    const k = joined.findIndex((other) => {
      const off = (run.at.u - other.at.u) * other.dv - (run.at.v - other.at.v) * other.du;
      return Math.abs(turnFrom(other, run)) < SAME_LINE_RAD && Math.abs(off) < SAME_LINE_STEPS * step;
    });
    if (k < 0) joined.push(run);
    else joined[k] = { ...joined[k]!, length: joined[k]!.length + run.length };
  }
  return joined;
}

function meet(a: Run, b: Run): PixelPlace {
  const cross = a.du * b.dv - a.dv * b.du;
  const s = ((b.at.u - a.at.u) * b.dv - (b.at.v - a.at.v) * b.du) / cross;
  return { u: a.at.u + s * a.du, v: a.at.v + s * a.dv };
}

/** The four-sided shape of four runs, or undefined when they do not surround a place once. */
function shapeOf(runs: readonly Run[]): FourSides | undefined {
  const turns = runs.map((run, i) => turnFrom(run, runs[(i + 1) % 4]!));
  // The contour keeps its inside on the right hand with v down, so every turn is to the right: positive.
  if (turns.some((turn) => !(turn > LEAST_TURN_RAD && turn < Math.PI - LEAST_TURN_RAD))) return undefined;
  if (Math.abs(turns.reduce((sum, turn) => sum + turn, 0) - 2 * Math.PI) > 0.01) return undefined;
  const corners = runs.map((run, i) => meet(runs[(i + 3) % 4]!, run));
  let [seen, whole] = [0, 0];
  for (const [i, run] of runs.entries()) {
    const [p, q] = [corners[i]!, corners[(i + 1) % 4]!];
    const length = Math.hypot(q.u - p.u, q.v - p.v);
    const forward = (q.u - p.u) * run.du + (q.v - p.v) * run.dv;
    const along = ((run.at.u - p.u) * run.du + (run.at.v - p.v) * run.dv) / length;
    // A run beyond its own side belongs to another shape.
    if (forward <= 0 || along < 0 || along > 1 || run.length > 1.1 * length) return undefined;
    if (run.length < LEAST_SIDE_COVERAGE * length) return undefined;
    seen += Math.min(run.length, length);
    whole += length;
  }
  const [a, b, c, d] = corners;
  return { cornersPx: [a!, b!, c!, d!], coverage: seen / whole };
}

/** All ways of choosing four of the runs, in the order of their directions. */
function* quadruples(runs: readonly Run[]): Generator<readonly Run[]> {
  const ordered = [...runs].sort((a, b) => Math.atan2(a.dv, a.du) - Math.atan2(b.dv, b.du));
  const n = ordered.length;
  for (let a = 0; a < n; a++)
    for (let b = a + 1; b < n; b++)
      for (let c = b + 1; c < n; c++)
        for (let d = c + 1; d < n; d++) yield [ordered[a]!, ordered[b]!, ordered[c]!, ordered[d]!];
}

/**
 * The four-sided shape that a contour (closed, evenly spaced, its inside on the right hand, v down) follows most of,
 * or undefined when it has none. Corners may be rounded or covered; `stepPx` is the distance between its places.
 */
export function fourSides(contour: readonly PixelPlace[], stepPx: number): FourSides | undefined {
  if (contour.length < 24) return undefined;
  const kept = cornersOf(contour, 1.8 * stepPx);
  const runs = kept.flatMap((from, i) => {
    const to = kept[i + 1] ?? kept[0]! + contour.length;
    return runOf(contour, from, to) ?? [];
  });
  const longest = Math.max(...runs.map(({ length }) => length));
  const long = joinRuns(
    runs.filter(({ length }) => length > LEAST_RUN * longest),
    stepPx,
  );
  const chosen = long.sort((a, b) => b.length - a.length).slice(0, MOST_RUNS);
  let best: FourSides | undefined;
  let bestSeen = 0;
  for (const four of quadruples(chosen)) {
    const shape = shapeOf(four);
    if (!shape || shape.coverage < LEAST_COVERAGE) continue;
    // The shape that explains most of the contour, not a small one that fits perfectly.
    const seen = four.reduce((sum, { length }) => sum + length, 0) * shape.coverage;
    if (seen > bestSeen) [best, bestSeen] = [shape, seen];
  }
  return best;
}
