import { neighbour, type Samples } from './clean-samples.ts';

/** Orthonormal polynomials of degree 0..4 over 2 * reach + 1 even places (Gram-Schmidt on powers). */
function gramBasis(reach: number): Float64Array[] {
  const basis: Float64Array[] = [];
  for (let degree = 0; degree <= 4; degree++) {
    const values = Float64Array.from({ length: 2 * reach + 1 }, (_, k) => ((k - reach) / reach) ** degree);
    for (const other of basis) {
      const share = values.reduce((sum, value, k) => sum + value * other[k]!, 0);
      for (let k = 0; k < values.length; k++) values[k]! -= share * other[k]!;
    }
    const size = Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));
    basis.push(values.map((value) => value / size));
  }
  return basis;
}

/**
 * How far the samples within `reach` of sample `i` lie from the smooth curve that fits them best (a polynomial of degree
 * 4 in both coordinates), mm: the largest running mean of three. A kink of angle a over a half-length L leaves about
 * 0.034 a L, after the best approximation of |x| by such a polynomial (0.0676, Bernstein's problem; from memory).
 */
export function smoothMisfitMm(samples: Samples, i: number, reach: number): number {
  const basis = gramBasis(reach);
  const size = 2 * reach + 1;
  const restX = new Float64Array(size);
  const restY = new Float64Array(size);
  for (let k = 0; k < size; k++) {
    const at = neighbour(samples, i + k - reach);
    restX[k] = samples.xs[at]!;
    restY[k] = samples.ys[at]!;
  }
  for (const rest of [restX, restY]) {
    for (const values of basis) {
      const share = values.reduce((sum, value, k) => sum + value * rest[k]!, 0);
      for (let k = 0; k < size; k++) rest[k]! -= share * values[k]!;
    }
  }
  let worst = 0;
  for (let k = 1; k < size - 1; k++) {
    const x = (restX[k - 1]! + restX[k]! + restX[k + 1]!) / 3;
    const y = (restY[k - 1]! + restY[k]! + restY[k + 1]!) / 3;
    worst = Math.max(worst, Math.hypot(x, y));
  }
  return worst;
}
