import type { PlanePoint } from '../../geometry/point.ts';

/** Evenly spaced straight parallel lines printed on paper: all places where `normal . p = phaseMm + k periodMm`. */
export interface Ruling {
  readonly normal: PlanePoint;
  readonly periodMm: number;
  readonly phaseMm: number;
}

/** Ruled and squared papers, mm; millimetre squares are too fine to be told from grey. */
const SHORTEST_PERIOD_MM = 2.5;
const LONGEST_PERIOD_MM = 16;
/** Fewer or shorter lines are somebody's hatching. */
const LEAST_LINES = 6;
const LEAST_LINE_MM = 60;
/** Of the lines between the first and the last this share must be there. */
const LEAST_PRESENT = 0.6;
/** Share of the dark places that must keep step with the period: the other family and the drawing do not. */
const LEAST_IN_STEP = 0.12;
/** A dark place this near to a line of the ruling lies on it, mm. */
const ON_LINE_MM = 0.5;
const BIN_MM = 0.25;
const COARSE_RAD = Math.PI / 720;
const FINE_RAD = Math.PI / 9000;
/** The second family of squared paper stands square on the first to within this, rad. */
const SQUARE_RAD = 0.05;
/** The longest period whose strength is at least this share of the strongest is the period, not its half or third. */
const SHARE_OF_STRONGEST = 0.8;

const normalAt = (angle: number): PlanePoint => ({ x: Math.cos(angle), y: Math.sin(angle) });

/** Counts of points by their distance along `normal`, from `-reachMm` on. */
function histogram(points: readonly PlanePoint[], { x, y }: PlanePoint, reachMm: number): Float64Array {
  const bins = new Float64Array(Math.ceil((2 * reachMm) / BIN_MM) + 2);
  for (const point of points) bins[Math.floor((x * point.x + y * point.y + reachMm) / BIN_MM)]! += 1;
  return bins;
}

/** How much neighbouring bins differ: greatest when the points lie in lines across the normal. */
function contrast(bins: Float64Array): number {
  let sum = 0;
  for (let i = 2; i < bins.length; i++) sum += (bins[i]! - bins[i - 2]!) ** 2;
  return sum;
}

interface Wave {
  readonly strength: number;
  readonly periodMm: number;
  readonly phaseMm: number;
}

/** The part of the histogram that keeps step with a period (its Fourier coefficient). */
function waveOf(bins: Float64Array, reachMm: number, periodMm: number): Wave {
  let [re, im] = [0, 0];
  for (let i = 0; i < bins.length; i++) {
    const count = bins[i]!;
    if (count === 0) continue;
    const turn = (2 * Math.PI * ((i + 0.5) * BIN_MM - reachMm)) / periodMm;
    re += count * Math.cos(turn);
    im += count * Math.sin(turn);
  }
  return { strength: Math.hypot(re, im), periodMm, phaseMm: (Math.atan2(im, re) / (2 * Math.PI)) * periodMm };
}

/** The waves over a span of frequencies, so closely that no peak is missed; `finer` by a factor to find its top. */
function waves(
  bins: Float64Array,
  reachMm: number,
  shortestMm: number,
  longestMm: number,
  finer = 1,
): Wave[] {
  const found: Wave[] = [];
  const step = 1 / (16 * finer * reachMm);
  for (let f = 1 / longestMm; f <= 1 / shortestMm; f += step) found.push(waveOf(bins, reachMm, 1 / f));
  return found;
}

const strongest = (all: readonly Wave[]): Wave => all.reduce((a, b) => (b.strength > a.strength ? b : a));

function bestAngle(angles: readonly number[], score: (angle: number) => number): number {
  const scores = angles.map(score);
  return angles[scores.indexOf(Math.max(...scores))]!;
}

const around = (middle: number, reach: number, step: number): number[] =>
  Array.from({ length: 2 * Math.round(reach / step) + 1 }, (_, i) => middle - reach + i * step);

/** The distance of a place from the nearest line of a ruling, mm, with its side. */
export function offRuling({ normal, periodMm, phaseMm }: Ruling, { x, y }: PlanePoint) {
  const place = (normal.x * x + normal.y * y - phaseMm) / periodMm;
  const line = Math.round(place);
  return { line, offMm: (place - line) * periodMm };
}

/** True when the ruling's lines are really there, many and long; `perMm` points stand for a millimetre of line. */
function isThere(points: readonly PlanePoint[], ruling: Ruling, perMm: number): boolean {
  const onLine = new Map<number, number>();
  for (const point of points) {
    const { line, offMm } = offRuling(ruling, point);
    if (Math.abs(offMm) < ON_LINE_MM) onLine.set(line, (onLine.get(line) ?? 0) + 1);
  }
  const long = [...onLine].filter(([, count]) => count >= LEAST_LINE_MM * perMm).map(([line]) => line);
  const span = Math.max(...long) - Math.min(...long) + 1;
  return long.length >= LEAST_LINES && long.length >= LEAST_PRESENT * span;
}

/** The ruling fitted to the points on its lines by least squares: phase, period and a small turn. */
function fitted(points: readonly PlanePoint[], ruling: Ruling): Ruling {
  const { normal, periodMm, phaseMm } = ruling;
  const rows: number[][] = [];
  const wanted: number[] = [];
  for (const point of points) {
    const { line, offMm } = offRuling(ruling, point);
    if (Math.abs(offMm) >= ON_LINE_MM) continue;
    rows.push([1, line, normal.x * point.y - normal.y * point.x]);
    wanted.push(offMm);
  }
  const [shift, longer, turn] = leastSquares3(rows, wanted);
  const angle = Math.atan2(normal.y, normal.x) - turn;
  return { normal: normalAt(angle), periodMm: periodMm + longer, phaseMm: phaseMm + shift };
}

/** Least squares in three unknowns by the normal equations and Cramer's rule; zeros when they are singular. */
function leastSquares3(
  rows: readonly (readonly number[])[],
  wanted: readonly number[],
): readonly [number, number, number] {
  const m = [0, 1, 2].map((i) => [0, 1, 2].map((j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)));
  const b = [0, 1, 2].map((i) => rows.reduce((sum, row, k) => sum + row[i]! * wanted[k]!, 0));
  const det = (c: readonly (readonly number[])[]) =>
    c[0]![0]! * (c[1]![1]! * c[2]![2]! - c[1]![2]! * c[2]![1]!) -
    c[0]![1]! * (c[1]![0]! * c[2]![2]! - c[1]![2]! * c[2]![0]!) +
    c[0]![2]! * (c[1]![0]! * c[2]![1]! - c[1]![1]! * c[2]![0]!);
  const whole = det(m);
  if (!(Math.abs(whole) > 0)) return [0, 0, 0];
  const solved = (column: number) =>
    det(m.map((row, i) => row.map((v, j) => (j === column ? b[i]! : v)))) / whole;
  return [solved(0), solved(1), solved(2)];
}

function oneRuling(
  points: readonly PlanePoint[],
  reachMm: number,
  angles: readonly number[],
  perMm: number,
): Ruling | undefined {
  const coarse = bestAngle(angles, (angle) => contrast(histogram(points, normalAt(angle), reachMm)));
  const first = waves(
    histogram(points, normalAt(coarse), reachMm),
    reachMm,
    SHORTEST_PERIOD_MM,
    LONGEST_PERIOD_MM,
  );
  const least = SHARE_OF_STRONGEST * strongest(first).strength;
  // A peak is as wide as a few steps: its top lies near its first strong step.
  const start = first.findIndex(({ strength }) => strength >= least);
  const { periodMm } = strongest(first.slice(start, start + 8));
  const near = (angle: number): Wave =>
    strongest(
      waves(histogram(points, normalAt(angle), reachMm), reachMm, 0.985 * periodMm, 1.015 * periodMm),
    );
  const fine = bestAngle(around(coarse, 1.2 * COARSE_RAD, 4 * FINE_RAD), (angle) => near(angle).strength);
  const angle = bestAngle(around(fine, 3 * FINE_RAD, FINE_RAD), (each) => near(each).strength);
  const wave = strongest(
    waves(histogram(points, normalAt(angle), reachMm), reachMm, 0.99 * periodMm, 1.01 * periodMm, 16),
  );
  const found = { normal: normalAt(angle), periodMm: wave.periodMm, phaseMm: wave.phaseMm };
  const ruling = fitted(points, fitted(points, found));
  return wave.strength >= LEAST_IN_STEP * points.length && isThere(points, ruling, perMm)
    ? ruling
    : undefined;
}

/**
 * Finds the ruling of the paper, none, one family of lines or two square on each other, among dark places on the table
 * plane, mm: the direction along which they gather most sharply into lines, and in it the period that they keep.
 * `perMm` is how many of the points a millimetre of line gives.
 */
export function findRulings(points: readonly PlanePoint[], perMm: number): Ruling[] {
  if (points.length < LEAST_LINES * LEAST_LINE_MM * perMm) return [];
  const middle = {
    x: points.reduce((sum, { x }) => sum + x, 0) / points.length,
    y: points.reduce((sum, { y }) => sum + y, 0) / points.length,
  };
  const centred = points.map(({ x, y }) => ({ x: x - middle.x, y: y - middle.y }));
  const reachMm = 1 + centred.reduce((most, { x, y }) => Math.max(most, Math.hypot(x, y)), 0);
  const all = Array.from({ length: Math.round(Math.PI / COARSE_RAD) }, (_, i) => i * COARSE_RAD);
  const first = oneRuling(centred, reachMm, all, perMm);
  if (!first) return [];
  const rest = centred.filter((point) => Math.abs(offRuling(first, point).offMm) >= ON_LINE_MM);
  const across = Math.atan2(first.normal.y, first.normal.x) + Math.PI / 2;
  const second = oneRuling(rest, reachMm, around(across, SQUARE_RAD, COARSE_RAD), perMm / 2);
  return [first, ...(second ? [second] : [])].map(({ normal, periodMm, phaseMm }) => ({
    normal,
    periodMm,
    phaseMm: phaseMm + normal.x * middle.x + normal.y * middle.y,
  }));
}
