import type { PlanePoint } from '../point.ts';

/** Third differences: 1, -3, 3, -1. */
const THIRD = [-1, 3, -3, 1] as const;
/** Points at each end that stay, so that the end and its direction do. */
const HELD = 2;
const BAND = 3;

/**
 * Smooths even samples: minimises the sum of squared moves plus `strength` times that of the third differences
 * (Whittaker 1923; Eilers 2003, "A Perfect Smoother"). The two points at each end stay. The equations form a
 * band of seven, solved by Cholesky's method in its L D L' form.
 */
export function smoothThirdDifferences(points: readonly PlanePoint[], strength: number): PlanePoint[] {
  const free = points.length - 2 * HELD;
  if (free < 1) return [...points];
  // band[d][i] is the matrix entry (i, i + d) among the free points.
  const band = Array.from({ length: BAND + 1 }, () => new Float64Array(free));
  band[0]!.fill(1);
  const xs = Float64Array.from({ length: free }, (_, i) => points[i + HELD]!.x);
  const ys = Float64Array.from({ length: free }, (_, i) => points[i + HELD]!.y);
  for (let first = 0; first + BAND < points.length; first++) {
    for (let a = 0; a <= BAND; a++) {
      const row = first + a - HELD;
      if (row < 0 || row >= free) continue;
      for (let b = 0; b <= BAND; b++) {
        const column = first + b - HELD;
        const weight = strength * THIRD[a]! * THIRD[b]!;
        if (column < 0 || column >= free) {
          xs[row]! -= weight * points[first + b]!.x;
          ys[row]! -= weight * points[first + b]!.y;
        } else if (column >= row) band[column - row]![row]! += weight;
      }
    }
  }
  factorise(band, free);
  solve(band, free, xs);
  solve(band, free, ys);
  return points.map((point, i) =>
    i < HELD || i >= points.length - HELD ? point : { x: xs[i - HELD]!, y: ys[i - HELD]! },
  );
}

/** L D L' in place: band[0] becomes D, band[d][i] the entry of L' at (i, i + d). */
function factorise(band: readonly Float64Array[], count: number): void {
  for (let i = 0; i < count; i++) {
    for (let d = 0; d <= BAND && i + d < count; d++) {
      let sum = band[d]![i]!;
      for (let k = 1; k <= BAND - d && i - k >= 0; k++) {
        sum -= band[k]![i - k]! * band[k + d]![i - k]! * band[0]![i - k]!;
      }
      band[d]![i] = d === 0 ? sum : sum / band[0]![i]!;
    }
  }
}

function solve(band: readonly Float64Array[], count: number, values: Float64Array): void {
  for (let i = 0; i < count; i++) {
    for (let k = 1; k <= BAND && i - k >= 0; k++) values[i]! -= band[k]![i - k]! * values[i - k]!;
  }
  for (let i = count - 1; i >= 0; i--) {
    values[i]! /= band[0]![i]!;
    for (let k = 1; k <= BAND && i + k < count; k++) values[i]! -= band[k]![i]! * values[i + k]!;
  }
}
