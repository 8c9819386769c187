/** Where a blurred step lies in a profile across an edge. */
import { errorFunction } from './saddle.ts';

/** A profile: values at evenly spaced places -reach .. reach. */
export interface Profile {
  readonly stepPx: number;
  readonly reachPx: number;
  readonly values: Float64Array;
}

export interface StepFit {
  /** Half-way crossing, px from the profile's middle. */
  readonly place: number;
  /** Level after less level before. */
  readonly step: number;
  /** RMS misfit. */
  readonly noise: number;
}

const ROUNDS = 8;
/** Slopes of the two levels are drawn towards 0 as if by this many square pixels of evidence. */
const SLOPE_RIDGE = 12;
const N = 5;

/** Solves the small symmetric system by Cholesky in place; false when it is singular. */
function solveInPlace(a: Float64Array, b: Float64Array): boolean {
  for (let i = 0; i < N; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * N + j]!;
      for (let k = 0; k < j; k++) sum -= a[i * N + k]! * a[j * N + k]!;
      if (i === j) {
        if (!(sum > 1e-12)) return false;
        a[i * N + i] = Math.sqrt(sum);
      } else a[i * N + j] = sum / a[j * N + j]!;
    }
  }
  for (let i = 0; i < N; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= a[i * N + k]! * b[k]!;
    b[i] = sum / a[i * N + i]!;
  }
  for (let i = N - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < N; k++) sum -= a[k * N + i]! * b[k]!;
    b[i] = sum / a[i * N + i]!;
  }
  return true;
}

/**
 * Fits a step blurred by a Gaussian of `blurPx` between two gently sloping levels (soft shadow beside an edge must not
 * pull its half-way crossing), to the part of the profile within `windowPx` of `start`. Undefined when there is none.
 */
export function fitStep(
  { values, stepPx, reachPx }: Profile,
  start: number,
  windowPx: number,
  blurPx: number,
): StepFit | undefined {
  const first = Math.max(0, Math.ceil((start - windowPx + reachPx) / stepPx));
  const last = Math.min(values.length - 1, Math.floor((start + windowPx + reachPx) / stepPx));
  let place = start;
  let step = 0;
  const a = new Float64Array(N * N);
  const b = new Float64Array(N);
  const row = new Float64Array(N);
  const fillRow = (x: number): void => {
    const z = x / (Math.SQRT2 * blurPx);
    const gauss = Math.exp(-z * z);
    const share = 0.5 + 0.5 * errorFunction(z, gauss);
    const density = gauss / (blurPx * Math.sqrt(2 * Math.PI));
    const ramp = blurPx * blurPx * density;
    row[0] = 1 - share;
    row[1] = share;
    row[2] = x * (1 - share) - ramp;
    row[3] = x * share + ramp;
    row[4] = -step * density;
  };
  for (let round = 0; round < ROUNDS; round++) {
    a.fill(0);
    b.fill(0);
    for (let i = first; i <= last; i++) {
      fillRow(i * stepPx - reachPx - place);
      for (let r = 0; r < N; r++) {
        b[r]! += row[r]! * values[i]!;
        for (let c = 0; c <= r; c++) a[r * N + c]! += row[r]! * row[c]!;
      }
    }
    a[2 * N + 2]! += SLOPE_RIDGE / stepPx;
    a[3 * N + 3]! += SLOPE_RIDGE / stepPx;
    // The first round only finds the levels.
    a[4 * N + 4]! += round === 0 ? 1 : 1e-9;
    if (!solveInPlace(a, b)) return undefined;
    if (round > 0) place += Math.max(-1, Math.min(1, b[4]!));
    step = b[1]! - b[0]!;
    if (!(Math.abs(place - start) < 0.7 * windowPx)) return undefined;
    if (round > 1 && Math.abs(b[4]!) < 2e-3) break;
  }
  let squares = 0;
  for (let i = first; i <= last; i++) {
    fillRow(i * stepPx - reachPx - place);
    const model = b[0]! * row[0]! + b[1]! * row[1]! + b[2]! * row[2]! + b[3]! * row[3]!;
    squares += (values[i]! - model) ** 2;
  }
  return { place, step, noise: Math.sqrt(squares / Math.max(1, last - first + 1 - N)) };
}
