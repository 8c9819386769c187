/** Solves a small symmetric positive definite system by Gaussian elimination, which then needs no pivoting. Both arguments are used up. */
export function solvePositive(matrix: readonly Float64Array[], right: Float64Array): number[] {
  const n = right.length;
  for (let column = 0; column < n; column++) {
    for (let r = column + 1; r < n; r++) {
      const factor = matrix[r]![column]! / matrix[column]![column]!;
      for (let k = column; k < n; k++) matrix[r]![k]! -= factor * matrix[column]![k]!;
      right[r]! -= factor * right[column]!;
    }
  }
  const solution = Array.from(right, () => 0);
  for (let r = n - 1; r >= 0; r--) {
    let sum = right[r]!;
    for (let k = r + 1; k < n; k++) sum -= matrix[r]![k]! * solution[k]!;
    solution[r] = sum / matrix[r]![r]!;
  }
  return solution;
}
