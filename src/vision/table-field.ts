import type { LogPhoto, Planes } from './log-photo.ts';
import { quantile } from './quantile.ts';

/** Tukey's biweight reaches zero at this many scales (Beaton & Tukey 1974; 95 % efficiency for normal noise). */
const TUKEY = 4.685;
/** A grid of every n-th reduced pixel is plenty for six coefficients. */
const SAMPLE_STEP = 7;
const ROUNDS = 8;
/** Rounds that look at the seeds only, and rounds with a tilted plane before the full quadratic. */
const SEED_ROUNDS = 5;
const PLANE_ROUNDS = 2;

/**
 * How each reduced pixel differs from the table that would be seen there: natural logarithms of ratios, so that
 * uneven light and shadow, which multiply, become sums. `light` is the mean over the channels, `redness` and
 * `blueness` are red and blue against green.
 */
export interface TableDifference {
  readonly width: number;
  readonly height: number;
  readonly light: Float32Array;
  readonly redness: Float32Array;
  readonly blueness: Float32Array;
  /** Spread (one sigma) of the table's own texture and noise in each of the three. */
  readonly lightScale: number;
  readonly rednessScale: number;
  readonly bluenessScale: number;
}

/**
 * Places looked at when the table's colour is fitted; `terms` holds six numbers a sample: 1, u, v, uu, uv, vv, where u
 * and v run from -1 to 1 over the whole photo.
 */
interface Samples {
  readonly at: Int32Array;
  readonly terms: Float64Array;
  readonly seed: Uint8Array;
}

/** First place from `from` on that lies on the grid of samples. */
const onGrid = (from: number): number => from + ((((1 - from) % SAMPLE_STEP) + SAMPLE_STEP) % SAMPLE_STEP);

function takeSamples(
  { box, photoWidth, photoHeight }: LogPhoto,
  masked: Uint8Array,
  seeds: Uint8Array,
): Samples {
  const { left, top, width, height } = box;
  const at: number[] = [];
  for (let row = onGrid(top) - top; row < height; row += SAMPLE_STEP) {
    for (let column = onGrid(left) - left; column < width; column += SAMPLE_STEP) {
      if (!masked[row * width + column]) at.push(row * width + column);
    }
  }
  const terms = new Float64Array(at.length * 6);
  const seed = new Uint8Array(at.length);
  at.forEach((index, i) => {
    const u = (2 * (left + (index % width))) / photoWidth - 1;
    const v = (2 * (top + Math.floor(index / width))) / photoHeight - 1;
    terms.set([1, u, v, u * u, u * v, v * v], i * 6);
    seed[i] = seeds[index]!;
  });
  return { at: Int32Array.from(at), terms, seed };
}

/** Solves the symmetric system with three right-hand sides by Gauss-Jordan; `rows` are [matrix row..., 3 values]. */
function solveRows(rows: number[][]): number[][] {
  const n = rows.length;
  for (let i = 0; i < n; i++) {
    const own = rows[i]!;
    const divisor = own[i]!;
    for (let c = i; c < own.length; c++) own[c] = own[c]! / divisor;
    for (const other of rows) {
      if (other === own) continue;
      const factor = other[i]!;
      for (let c = i; c < own.length; c++) other[c] = other[c]! - factor * own[c]!;
    }
  }
  return rows.map((row) => row.slice(n));
}

/** One weighted least-squares fit of the first `size` terms to all three channels. */
function fitWeighted(planes: Planes, samples: Samples, weights: Float64Array, size: number): Float64Array {
  const rows = Array.from({ length: size }, () => Array.from({ length: size + 3 }, () => 0));
  for (let i = 0; i < weights.length; i++) {
    const weight = weights[i]!;
    if (weight === 0) continue;
    const at = samples.at[i]!;
    for (let r = 0; r < size; r++) {
      const row = rows[r]!;
      const share = weight * samples.terms[i * 6 + r]!;
      for (let c = 0; c < size; c++) row[c] = row[c]! + share * samples.terms[i * 6 + c]!;
      for (let c = 0; c < 3; c++) row[size + c] = row[size + c]! + share * planes[c]![at]!;
    }
  }
  // A trace of ridge keeps the fit defined when the seeds lie in one place.
  for (let r = 0; r < size; r++) rows[r]![r] = rows[r]![r]! * (1 + 1e-6) + 1e-9;
  const solved = solveRows(rows);
  const field = new Float64Array(18);
  solved.forEach((row, term) => row.forEach((value, channel) => (field[channel * 6 + term] = value)));
  return field;
}

/** Distance of each sample's colour from the field's. */
function missesOf(planes: Planes, samples: Samples, field: Float64Array): Float64Array {
  const misses = new Float64Array(samples.at.length);
  for (let i = 0; i < misses.length; i++) {
    let sum = 0;
    for (let c = 0; c < 3; c++) {
      let expected = 0;
      for (let k = 0; k < 6; k++) expected += field[c * 6 + k]! * samples.terms[i * 6 + k]!;
      sum += (planes[c]![samples.at[i]!]! - expected) ** 2;
    }
    misses[i] = Math.sqrt(sum);
  }
  return misses;
}

/** The table's colour over the picture, six coefficients a channel: robust least squares, from the seeds outward. */
function fitField(planes: Planes, samples: Samples): Float64Array {
  const seedPlaces = samples.at.filter((_, i) => samples.seed[i]);
  let field = new Float64Array(18);
  planes.forEach((plane, c) => {
    field[c * 6] = quantile(
      Float32Array.from(seedPlaces, (at) => plane[at]!),
      0.5,
    );
  });
  for (let round = 0; round < ROUNDS; round++) {
    const misses = missesOf(planes, samples, field);
    const reach =
      TUKEY *
      Math.max(
        0.04,
        quantile(
          misses.filter((_, i) => samples.seed[i]),
          0.5,
        ),
      );
    const weights = misses.map((miss, i) => {
      if (miss >= reach || (round < SEED_ROUNDS && !samples.seed[i])) return 0;
      return (1 - (miss / reach) ** 2) ** 2;
    });
    field = fitWeighted(planes, samples, weights, round < PLANE_ROUNDS ? 3 : 6) as typeof field;
  }
  return field;
}

/** Takes the field from the planes and turns channels into light, redness and blueness. */
function subtractField(
  { planes: [red, green, blue], box, photoWidth, photoHeight }: LogPhoto,
  field: Float64Array,
): Planes {
  const light = new Float32Array(red.length);
  const redness = new Float32Array(red.length);
  const blueness = new Float32Array(red.length);
  const expected = (channel: number, u: number, v: number): number => {
    const k = channel * 6;
    return (
      field[k]! +
      u * (field[k + 1]! + field[k + 3]! * u + field[k + 4]! * v) +
      v * (field[k + 2]! + field[k + 5]! * v)
    );
  };
  for (let row = 0, at = 0; row < box.height; row++) {
    const v = (2 * (box.top + row)) / photoHeight - 1;
    for (let column = 0; column < box.width; column++, at++) {
      const u = (2 * (box.left + column)) / photoWidth - 1;
      const r = red[at]! - expected(0, u, v);
      const g = green[at]! - expected(1, u, v);
      const b = blue[at]! - expected(2, u, v);
      light[at] = (r + g + b) / 3;
      redness[at] = r - g;
      blueness[at] = b - g;
    }
  }
  return [light, redness, blueness];
}

/**
 * Compares the picture, or a box of it, with the table. `masked` pixels (cards) take no part; `seeds` very likely show
 * the table; both cover the box.
 * Uneven light is modelled as a quadratic over the picture, in logarithms, a channel at a time.
 */
export function tableDifference(logs: LogPhoto, masked: Uint8Array, seeds: Uint8Array): TableDifference {
  const { width, height } = logs.box;
  const samples = takeSamples(logs, masked, seeds);
  const [light, redness, blueness] = subtractField(logs, fitField(logs.planes, samples));
  const seedPlaces = samples.at.filter((_, i) => samples.seed[i]);
  // From the 90th percentile: texture has longer tails than a normal distribution.
  const spread = (plane: Float32Array, least: number): number =>
    Math.max(
      least,
      quantile(
        Float32Array.from(seedPlaces, (at) => Math.abs(plane[at]!)),
        0.9,
      ) / 1.645,
    );
  return {
    width,
    height,
    light,
    redness,
    blueness,
    lightScale: spread(light, 0.015),
    rednessScale: spread(redness, 0.012),
    bluenessScale: spread(blueness, 0.012),
  };
}
