import { hash01 } from './seeded.ts';

/** A square of noise that repeats, values 0..1, sampled with straight-line interpolation. */
export class NoiseTile {
  private readonly values: Float32Array;

  constructor(
    readonly size: number,
    values: Float32Array,
  ) {
    this.values = values;
  }

  /** Value at a place in tile cells. */
  at(x: number, y: number): number {
    const mask = this.size - 1;
    const fx = Math.floor(x);
    const fy = Math.floor(y);
    const s = x - fx;
    const t = y - fy;
    const x0 = fx & mask;
    const x1 = (fx + 1) & mask;
    const row0 = (fy & mask) * this.size;
    const row1 = ((fy + 1) & mask) * this.size;
    const v = this.values;
    const top = v[row0 + x0]! + s * (v[row0 + x1]! - v[row0 + x0]!);
    const bottom = v[row1 + x0]! + s * (v[row1 + x1]! - v[row1 + x0]!);
    return top + t * (bottom - top);
  }
}

const smooth = (t: number): number => t * t * (3 - 2 * t);

/** Value noise with period `cells`, summed over octaves, as a tile of `size` (a power of two). */
function fractalTile(size: number, cells: number, octaves: number, seed: number): NoiseTile {
  const values = new Float32Array(size * size);
  let [gain, total] = [1, 0];
  for (let octave = 0; octave < octaves; octave++) {
    const period = cells << octave;
    const scale = period / size;
    for (let row = 0; row < size; row++) {
      const fy = row * scale;
      const iy = Math.floor(fy);
      const t = smooth(fy - iy);
      for (let column = 0; column < size; column++) {
        const fx = column * scale;
        const ix = Math.floor(fx);
        const s = smooth(fx - ix);
        const [x1, y1] = [(ix + 1) % period, (iy + 1) % period];
        const a = hash01(ix, iy, seed + octave);
        const b = hash01(x1, iy, seed + octave);
        const c = hash01(ix, y1, seed + octave);
        const d = hash01(x1, y1, seed + octave);
        values[row * size + column]! += gain * (a + s * (b - a) + t * (c + s * (d - c) - a - s * (b - a)));
      }
    }
    total += gain;
    gain *= 0.6;
  }
  for (let i = 0; i < values.length; i++) values[i]! /= total;
  return new NoiseTile(size, values);
}

const kept = new Map<number, NoiseTile>();

/** The scene's noise: made once per seed, since a tile costs a tenth of a second. */
export function noiseFor(seed: number): NoiseTile {
  const key = seed & 7;
  const tile = kept.get(key) ?? fractalTile(512, 8, 6, 1000 + key);
  kept.set(key, tile);
  return tile;
}
