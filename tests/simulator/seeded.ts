/** Seeded random numbers: the same seed gives the same scene on every machine. */
export interface Random {
  /** Uniform in [0, 1). */
  next(): number;
  /** Uniform in [low, high). */
  between(low: number, high: number): number;
  /** Gaussian with mean 0 and the given standard deviation. */
  normal(sigma?: number): number;
  /** Whole number in [0, below). */
  below(below: number): number;
}

/** The mulberry32 generator (public domain, T. Ettinger; from memory): 32 bits of state, passes the usual batteries. */
export function seeded(seed: number): Random {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    // Box-Muller; 1 - next() keeps the logarithm finite.
    normal: (sigma = 1) => sigma * Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    below: (below) => Math.floor(next() * below),
  };
}

/** Uniform [0, 1) from two whole numbers and a seed, without state. */
export function hash01(a: number, b: number, seed: number): number {
  let h = Math.imul(a ^ 0x9e3779b9, 0x85ebca6b) ^ Math.imul(b ^ seed, 0xc2b2ae35);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
  return ((h ^ (h >>> 15)) >>> 0) / 4294967296;
}
