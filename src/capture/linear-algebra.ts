/** Small dense symmetric systems (up to about 60 unknowns), row by row in flat arrays. */

/**
 * Cholesky factor L of the symmetric positive definite n x n matrix `a` (lower triangle read), or undefined
 * when it is not positive definite (Golub & Van Loan, Matrix Computations, algorithm 4.2.1; from memory).
 */
export function choleskyFactor(a: Float64Array, n: number): Float64Array | undefined {
  const l = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= l[i * n + k]! * l[j * n + k]!;
      if (i === j) {
        if (!(sum > 0)) return undefined;
        l[i * n + i] = Math.sqrt(sum);
      } else l[i * n + j] = sum / l[j * n + j]!;
    }
  }
  return l;
}

/** Solves L L^T x = b for a Cholesky factor L. */
export function choleskySolve(l: Float64Array, n: number, b: ArrayLike<number>): Float64Array {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= l[i * n + k]! * x[k]!;
    x[i] = sum / l[i * n + i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i]!;
    for (let k = i + 1; k < n; k++) sum -= l[k * n + i]! * x[k]!;
    x[i] = sum / l[i * n + i]!;
  }
  return x;
}

/**
 * Inverse of a symmetric positive definite matrix, or undefined when it is not one. Rows and columns are
 * first brought to a unit diagonal, since the unknowns' units differ by many powers of ten.
 */
export function symmetricInverse(a: Float64Array, n: number): Float64Array | undefined {
  const scale = Float64Array.from({ length: n }, (_, i) => 1 / Math.sqrt(a[i * n + i]!));
  const l = choleskyFactor(
    a.map((value, at) => value * scale[Math.floor(at / n)]! * scale[at % n]!),
    n,
  );
  if (!l) return undefined;
  const inverse = new Float64Array(n * n);
  const unit = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    unit.fill(0);
    unit[j] = 1;
    const column = choleskySolve(l, n, unit);
    for (let i = 0; i < n; i++) inverse[i * n + j] = column[i]! * scale[i]! * scale[j]!;
  }
  return inverse;
}
