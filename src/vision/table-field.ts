import type { Vision } from './opencv.ts';
import type { ReducedPhoto } from './reduce.ts';

/** Added to linear light before the logarithm, so that sensor noise in the dark stays small. */
const DARK_FLOOR = 0.004;
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

/** The three channels' logarithms, each a median of medians over 3 x 3 pixels: specks and thin grain vanish, edges stay. */
type Planes = readonly [Float32Array, Float32Array, Float32Array];

/** Steps of the 16-bit logarithm, in which opencv's median is quick. */
const LOG_STEPS = 65535 / Math.log((1 + DARK_FLOOR) / DARK_FLOOR);

function logarithms({ cv }: Vision, photo: ReducedPhoto): Planes {
  const table = Uint16Array.from({ length: 8192 }, (_, i) =>
    Math.round(LOG_STEPS * Math.log((i / 8191 + DARK_FLOOR) / DARK_FLOOR)),
  );
  using source = new cv.Mat(photo.height, photo.width, cv.CV_16UC1);
  using target = new cv.Mat();
  const take = (plane: Float32Array): Float32Array => {
    const coded = source.data16U;
    for (let i = 0; i < plane.length; i++) coded[i] = table[(plane[i]! * 8191 + 0.5) | 0]!;
    cv.medianBlur(source, target, 3);
    cv.medianBlur(target, source, 3);
    const smoothed = source.data16U;
    const logs = new Float32Array(plane.length);
    for (let i = 0; i < logs.length; i++) logs[i] = smoothed[i]! * (1 / LOG_STEPS);
    return logs;
  };
  return [take(photo.red), take(photo.green), take(photo.blue)];
}

/** Places looked at when the table's colour is fitted; `terms` holds six numbers a sample: 1, u, v, uu, uv, vv. */
interface Samples {
  readonly at: Int32Array;
  readonly terms: Float64Array;
  readonly seed: Uint8Array;
}

function takeSamples(width: number, height: number, masked: Uint8Array, seeds: Uint8Array): Samples {
  const at: number[] = [];
  for (let row = 1; row < height; row += SAMPLE_STEP) {
    for (let column = 1; column < width; column += SAMPLE_STEP) {
      if (!masked[row * width + column]) at.push(row * width + column);
    }
  }
  const terms = new Float64Array(at.length * 6);
  const seed = new Uint8Array(at.length);
  at.forEach((index, i) => {
    const u = (2 * (index % width)) / width - 1;
    const v = (2 * Math.floor(index / width)) / height - 1;
    terms.set([1, u, v, u * u, u * v, v * v], i * 6);
    seed[i] = seeds[index]!;
  });
  return { at: Int32Array.from(at), terms, seed };
}

/** Value below which `share` of the values lie. */
function quantile(values: ArrayLike<number>, share: number): number {
  const sorted = Float32Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0;
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
function subtractField(planes: Planes, field: Float64Array, width: number, height: number): Planes {
  const [red, green, blue] = planes;
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
  for (let row = 0, at = 0; row < height; row++) {
    const v = (2 * row) / height - 1;
    for (let column = 0; column < width; column++, at++) {
      const u = (2 * column) / width - 1;
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
 * Compares the picture with the table. `masked` pixels (cards) take no part; `seeds` very likely show the table.
 * Uneven light is modelled as a quadratic over the picture, in logarithms, a channel at a time.
 */
export function tableDifference(
  vision: Vision,
  photo: ReducedPhoto,
  masked: Uint8Array,
  seeds: Uint8Array,
): TableDifference {
  const { width, height } = photo;
  const planes = logarithms(vision, photo);
  const samples = takeSamples(width, height, masked, seeds);
  const [light, redness, blueness] = subtractField(planes, fitField(planes, samples), width, height);
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
