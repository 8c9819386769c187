/**
 * A symmetric matrix of which each row of the lower triangle is kept from its first entry to the diagonal, the diagonal
 * last. The Cholesky factor fits the same room: before its first entry a row stays empty (George & Liu, Computer
 * Solution of Large Sparse Positive Definite Systems, 1981, chapter 4; from memory).
 */
export interface Envelope {
  readonly first: Int32Array;
  readonly rows: readonly Float64Array[];
}

/** An empty matrix whose rows begin at these columns. */
export function newEnvelope(first: Int32Array): Envelope {
  return { first, rows: Array.from(first, (from, row) => new Float64Array(row - from + 1)) };
}

/** Adds to the entry in this row and column, either way round; it must lie in the envelope. */
export function addEntry({ first, rows }: Envelope, row: number, column: number, value: number): void {
  const [low, high] = row > column ? [row, column] : [column, row];
  rows[low]![high - first[low]!]! += value;
}

/** Cholesky's factor L in place of the matrix L L^T; false, with the matrix spoilt, when it is not positive definite. */
export function factorEnvelope({ first, rows }: Envelope): boolean {
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    const from = first[i]!;
    for (let j = from; j <= i; j++) {
      const other = rows[j]!;
      const otherFrom = first[j]!;
      let sum = row[j - from]!;
      for (let k = Math.max(from, otherFrom); k < j; k++) sum -= row[k - from]! * other[k - otherFrom]!;
      if (j < i) row[j - from] = sum / other[j - otherFrom]!;
      else if (sum > 0) row[j - from] = Math.sqrt(sum);
      else return false;
    }
  }
  return true;
}

/** Solves L L^T x = b for a factor L. */
export function solveEnvelope({ first, rows }: Envelope, b: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(b);
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    const from = first[i]!;
    for (let k = from; k < i; k++) x[i]! -= row[k - from]! * x[k]!;
    x[i]! /= row[i - from]!;
  }
  for (let i = rows.length - 1; i >= 0; i--) {
    const row = rows[i]!;
    const from = first[i]!;
    x[i]! /= row[i - from]!;
    for (let k = from; k < i; k++) x[k]! -= row[k - from]! * x[i]!;
  }
  return x;
}
