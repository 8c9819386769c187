import { seeded } from './seeded.ts';

/** From linear light on the sensor to the bytes of the file; each step works on rows of interleaved RGB floats. */

/** Half of a normalised Gaussian kernel, centre first; [1] when there is nothing to blur. */
export function gaussianKernel(sigmaPx: number): Float32Array {
  if (sigmaPx < 0.05) return Float32Array.of(1);
  const reach = Math.ceil(3.5 * sigmaPx);
  const kernel = Float32Array.from({ length: reach + 1 }, (_, i) =>
    Math.exp(-(i * i) / (2 * sigmaPx * sigmaPx)),
  );
  let sum = kernel[0]!;
  for (let i = 1; i <= reach; i++) sum += 2 * kernel[i]!;
  return kernel.map((weight) => weight / sum);
}

/** Blurs along rows: `to` gets the values from `from`, `columns` wide, except the kernel's reach at both ends. */
export function blurRow(from: Float32Array, to: Float32Array, channels: number, kernel: Float32Array): void {
  const reach = (kernel.length - 1) * channels;
  const end = from.length - reach;
  const k0 = kernel[0]!;
  for (let i = reach; i < end; i++) to[i] = k0 * from[i]!;
  for (let tap = 1; tap < kernel.length; tap++) {
    const k = kernel[tap]!;
    const shift = tap * channels;
    for (let i = reach; i < end; i++) to[i]! += k * (from[i - shift]! + from[i + shift]!);
  }
}

/** Blurs down columns: one output row from the rows about it. */
export function blurColumn(
  row: (offset: number) => Float32Array,
  to: Float32Array,
  kernel: Float32Array,
): void {
  const middle = row(0);
  const k0 = kernel[0]!;
  const { length } = to;
  for (let i = 0; i < length; i++) to[i] = k0 * middle[i]!;
  for (let tap = 1; tap < kernel.length; tap++) {
    const k = kernel[tap]!;
    const above = row(-tap);
    const below = row(tap);
    for (let i = 0; i < length; i++) to[i]! += k * (above[i]! + below[i]!);
  }
}

const NORMALS = ((): Float32Array => {
  const random = seeded(20240601);
  return Float32Array.from({ length: 1 << 16 }, () => random.normal());
})();

/** Adds sensor noise to a row, in place; the same seed and row give the same noise. */
export function addNoise(
  row: Float32Array,
  shot: number,
  read: number,
  seed: number,
  rowIndex: number,
): void {
  if (shot === 0 && read === 0) return;
  let state = (Math.imul(seed ^ 0x51ed270b, 0x9e3779b1) ^ Math.imul(rowIndex + 7919, 0x85ebca6b)) | 1;
  const read2 = read * read;
  for (let i = 0; i < row.length; i++) {
    // xorshift32 (Marsaglia 2003).
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    const value = row[i]!;
    row[i] = value + Math.sqrt(read2 + shot * Math.max(0, value)) * NORMALS[state >>> 16]!;
  }
}

const STEPS = 16384;

/** Linear 0..1 to tone-coded 0..255 (IEC 61966-2-1), by table. */
const CODED = Float32Array.from({ length: STEPS + 2 }, (_, i) => {
  const linear = i / STEPS;
  return 255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055);
});

export function codeTone(linear: number): number {
  if (linear <= 0) return 0;
  if (linear >= 1) return 255;
  const place = linear * STEPS;
  const i = place | 0;
  const a = CODED[i]!;
  return a + (place - i) * (CODED[i + 1]! - a);
}
