/** Normal equations of least squares with up to five unknowns, in memory that is used again and again. */
const MOST_UNKNOWNS = 5;

export interface SmallEquations {
  /** Lower triangle, row by row, MOST_UNKNOWNS wide. */
  readonly matrix: Float64Array;
  /** The right side; after `solveSmall`, the solution. */
  readonly right: Float64Array;
  /** The coefficients of the observation being added. */
  readonly row: Float64Array;
}

export function newEquations(): SmallEquations {
  return {
    matrix: new Float64Array(MOST_UNKNOWNS * MOST_UNKNOWNS),
    right: new Float64Array(MOST_UNKNOWNS),
    row: new Float64Array(MOST_UNKNOWNS),
  };
}

export function clearEquations({ matrix, right }: SmallEquations): void {
  matrix.fill(0);
  right.fill(0);
}

/** Adds the observation `row` · unknowns = value with a weight. */
export function addObservation(
  { matrix, right, row }: SmallEquations,
  unknowns: number,
  value: number,
  weight: number,
): void {
  for (let r = 0; r < unknowns; r++) {
    const own = weight * row[r]!;
    for (let c = 0; c <= r; c++) matrix[r * MOST_UNKNOWNS + c]! += own * row[c]!;
    right[r]! += own * value;
  }
}

/** Draws an unknown towards 0 as if it had been observed to be 0 with this weight. */
export function drawToZero({ matrix }: SmallEquations, unknown: number, weight: number): void {
  matrix[unknown * (MOST_UNKNOWNS + 1)]! += weight;
}

/** Solves for the first unknowns, into `right`, by Cholesky; false when the observations do not settle them. */
export function solveSmall({ matrix: a, right: b }: SmallEquations, unknowns: number): boolean {
  const n = MOST_UNKNOWNS;
  for (let i = 0; i < unknowns; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = a[i * n + j]!;
      for (let k = 0; k < j; k++) sum -= a[i * n + k]! * a[j * n + k]!;
      if (i === j) {
        if (!(sum > 1e-14)) return false;
        a[i * n + i] = Math.sqrt(sum);
      } else a[i * n + j] = sum / a[j * n + j]!;
    }
  }
  for (let i = 0; i < unknowns; i++) {
    let sum = b[i]!;
    for (let k = 0; k < i; k++) sum -= a[i * n + k]! * b[k]!;
    b[i] = sum / a[i * n + i]!;
  }
  for (let i = unknowns - 1; i >= 0; i--) {
    let sum = b[i]!;
    for (let k = i + 1; k < unknowns; k++) sum -= a[k * n + i]! * b[k]!;
    b[i] = sum / a[i * n + i]!;
  }
  return true;
}
