import type { Path, Segment } from './path.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { segmentSize, segmentVelocity } from './segment.ts';

/** Half of the nodes and weights of 16-point Gauss-Legendre quadrature (Abramowitz and Stegun, table 25.4). */
const NODES = [
  0.09501250983763744, 0.2816035507792589, 0.45801677765722737, 0.6178762444026438, 0.755404408355003,
  0.8656312023878318, 0.9445750230732326, 0.9894009349916499,
];
const WEIGHTS = [
  0.1894506104550685, 0.18260341504492358, 0.16915651939500254, 0.14959598881657674, 0.12462897125553388,
  0.09515851168249279, 0.06225352393864789, 0.02715245941175409,
];

/** Lengths are found to this share of themselves. */
const RELATIVE_TOLERANCE = 1e-12;

function speed(from: PlanePoint, segment: Segment, t: number): number {
  const v = segmentVelocity(from, segment, t);
  return Math.hypot(v.x, v.y);
}

function gauss(from: PlanePoint, segment: Segment, t0: number, t1: number): number {
  const half = (t1 - t0) / 2;
  const middle = (t0 + t1) / 2;
  let sum = 0;
  for (let i = 0; i < NODES.length; i++) {
    const step = half * NODES[i]!;
    sum += WEIGHTS[i]! * (speed(from, segment, middle - step) + speed(from, segment, middle + step));
  }
  return sum * half;
}

/** Halves the interval until both halves together agree with the whole; cusps end it by depth. */
function adaptive(
  from: PlanePoint,
  segment: Segment,
  [t0, t1]: readonly [number, number],
  whole: number,
  toleranceMm: number,
  depth: number,
): number {
  const middle = (t0 + t1) / 2;
  const left = gauss(from, segment, t0, middle);
  const right = gauss(from, segment, middle, t1);
  if (depth === 0 || Math.abs(left + right - whole) <= toleranceMm) return left + right;
  return (
    adaptive(from, segment, [t0, middle], left, toleranceMm / 2, depth - 1) +
    adaptive(from, segment, [middle, t1], right, toleranceMm / 2, depth - 1)
  );
}

/** Length of a segment from t = `t0` to `t1`, mm, to about twelve figures. */
export function segmentLengthMm(from: PlanePoint, segment: Segment, t0 = 0, t1 = 1): number {
  if (segment.kind === 'line') return distanceMm(from, segment.to) * (t1 - t0);
  const tolerance = RELATIVE_TOLERANCE * segmentSize(from, segment);
  return adaptive(from, segment, [t0, t1], gauss(from, segment, t0, t1), tolerance, 20);
}

/** The t at which `alongMm` of the segment's length has been run; clamped to 0..1. */
export function segmentTAtLength(from: PlanePoint, segment: Segment, alongMm: number): number {
  const total = segmentLengthMm(from, segment);
  if (alongMm <= 0 || total === 0) return 0;
  if (alongMm >= total) return 1;
  if (segment.kind === 'line') return alongMm / total;
  // Newton on the length, kept inside a bracket that shrinks (the length grows with t).
  let [low, high] = [0, 1];
  let t = alongMm / total;
  for (let i = 0; i < 60; i++) {
    const excess = segmentLengthMm(from, segment, 0, t) - alongMm;
    if (Math.abs(excess) <= 1e-13 * total) break;
    if (excess > 0) high = t;
    else low = t;
    const next = t - excess / speed(from, segment, t);
    t = next > low && next < high ? next : (low + high) / 2;
  }
  return t;
}

/** Lengths of the segments in order, mm. */
export function segmentLengthsMm(path: Path): number[] {
  const lengths: number[] = [];
  let from = path.start;
  for (const segment of path.segments) {
    lengths.push(segmentLengthMm(from, segment));
    from = segment.to;
  }
  return lengths;
}
