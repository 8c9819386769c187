/**
 * Least-squares fit of one cubic Bezier to points in order, ends fixed and both handles free, after Schneider
 * ("An Algorithm for Automatically Fitting Digitized Curves", Graphics Gems, 1990): chord-length parameters, linear
 * least squares for the handles, Newton's method to bring each parameter to the nearest place of the curve, again.
 * Schneider fixes the end directions; here they are found too, and the caller decides how neighbours join.
 */

/** Points in order, mm. */
export interface PointRun {
  readonly xs: Float64Array;
  readonly ys: Float64Array;
}

/** Control points as x0, y0, x1, y1, x2, y2, x3, y3, mm. */
export type CubicControls = Float64Array;

/** Value and derivatives of a cubic at t, written into six numbers: x, y, x', y', x'', y''. */
export function evaluateCubic(c: ArrayLike<number>, t: number, into: Float64Array): void {
  const s = 1 - t;
  for (let k = 0; k < 2; k++) {
    const p0 = c[k]!;
    const p1 = c[k + 2]!;
    const p2 = c[k + 4]!;
    const p3 = c[k + 6]!;
    into[k] = s * s * (s * p0 + 3 * t * p1) + t * t * (3 * s * p2 + t * p3);
    into[k + 2] = 3 * (s * s * (p1 - p0) + 2 * s * t * (p2 - p1) + t * t * (p3 - p2));
    into[k + 4] = 6 * (s * (p2 - 2 * p1 + p0) + t * (p3 - 2 * p2 + p1));
  }
}

const place = new Float64Array(6);

/** One Newton step of the parameter towards the place of the cubic nearest to (x, y), kept within low..high. */
export function nearerParameter(
  controls: ArrayLike<number>,
  t: number,
  x: number,
  y: number,
  low = 0,
  high = 1,
): number {
  evaluateCubic(controls, t, place);
  const dx = place[0]! - x;
  const dy = place[1]! - y;
  const vx = place[2]!;
  const vy = place[3]!;
  const speedSquared = vx * vx + vy * vy;
  const slope = dx * vx + dy * vy;
  const bend = speedSquared + dx * place[4]! + dy * place[5]!;
  // Where the curve bends away from the point the full second derivative may vanish: fall back on the speed alone.
  const divisor = bend > 0.1 * speedSquared ? bend : speedSquared || 1;
  return Math.min(high, Math.max(low, t - slope / divisor));
}

/** Parameters 0..1 of the points first..last by the length of the chords between them. */
export function chordParameters(run: PointRun, first: number, last: number): Float64Array {
  const ts = new Float64Array(last - first + 1);
  for (let i = 1; i < ts.length; i++) {
    const k = first + i;
    ts[i] = ts[i - 1]! + Math.hypot(run.xs[k]! - run.xs[k - 1]!, run.ys[k]! - run.ys[k - 1]!);
  }
  const length = ts[ts.length - 1]! || 1;
  return ts.map((t) => t / length);
}

/** Weight of the straight cubic's handles against the points' own say. */
const HANDLE_RIDGE = 1e-6;

/** Sets the two inner control points by linear least squares for the given parameters. */
function solveHandles(run: PointRun, first: number, ts: Float64Array, controls: CubicControls): void {
  let a11 = 0;
  let a12 = 0;
  let a22 = 0;
  let bx1 = 0;
  let by1 = 0;
  let bx2 = 0;
  let by2 = 0;
  const x0 = controls[0]!;
  const y0 = controls[1]!;
  const x3 = controls[6]!;
  const y3 = controls[7]!;
  for (let i = 0; i < ts.length; i++) {
    const t = ts[i]!;
    const s = 1 - t;
    const w1 = 3 * s * s * t;
    const w2 = 3 * s * t * t;
    const w0 = s * s * s;
    const w3 = t * t * t;
    const rx = run.xs[first + i]! - w0 * x0 - w3 * x3;
    const ry = run.ys[first + i]! - w0 * y0 - w3 * y3;
    a11 += w1 * w1;
    a12 += w1 * w2;
    a22 += w2 * w2;
    bx1 += w1 * rx;
    by1 += w1 * ry;
    bx2 += w2 * rx;
    by2 += w2 * ry;
  }
  // A trace of pull towards the straight cubic settles what the points leave open: how fast a straight run is run.
  const ridge = HANDLE_RIDGE * (a11 + a22);
  a11 += ridge;
  a22 += ridge;
  bx1 += (ridge * (2 * x0 + x3)) / 3;
  by1 += (ridge * (2 * y0 + y3)) / 3;
  bx2 += (ridge * (x0 + 2 * x3)) / 3;
  by2 += (ridge * (y0 + 2 * y3)) / 3;
  const determinant = a11 * a22 - a12 * a12;
  if (!(determinant > 1e-12 * a11 * a22)) {
    // Too few points to say: the straight cubic.
    for (let k = 0; k < 2; k++) {
      controls[2 + k] = (2 * controls[k]! + controls[6 + k]!) / 3;
      controls[4 + k] = (controls[k]! + 2 * controls[6 + k]!) / 3;
    }
    return;
  }
  controls[2] = (a22 * bx1 - a12 * bx2) / determinant;
  controls[3] = (a22 * by1 - a12 * by2) / determinant;
  controls[4] = (a11 * bx2 - a12 * bx1) / determinant;
  controls[5] = (a11 * by2 - a12 * by1) / determinant;
}

/** A fitted cubic and the parameter of each point on it. */
export interface FittedCubic {
  readonly controls: CubicControls;
  readonly parameters: Float64Array;
}

/**
 * Fits a cubic to the points first..last (inclusive) of a run, from (x0, y0) to (x3, y3), mm.
 * `rounds` of Newton's reparameterisation; five bring smooth runs to within a micrometre of the optimum.
 */
export function fitCubic(
  run: PointRun,
  first: number,
  last: number,
  ends: readonly [x0: number, y0: number, x3: number, y3: number],
  rounds = 5,
): FittedCubic {
  const controls = Float64Array.of(ends[0], ends[1], 0, 0, 0, 0, ends[2], ends[3]);
  const parameters = chordParameters(run, first, last);
  solveHandles(run, first, parameters, controls);
  for (let round = 0; round < rounds; round++) {
    for (let i = 0; i < parameters.length; i++) {
      const k = first + i;
      parameters[i] = nearerParameter(controls, parameters[i]!, run.xs[k]!, run.ys[k]!);
    }
    solveHandles(run, first, parameters, controls);
  }
  return { controls, parameters };
}
