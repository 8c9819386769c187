/** Beyond this many sigmas a measurement's pull grows no more. */
const HUBER = 3;

/** Huber's cost and weight for `squares` = (residual / sigma)^2 (Huber, Annals of Mathematical Statistics 35, 1964). */
export function huber(squares: number): { readonly cost: number; readonly weight: number } {
  if (squares <= HUBER * HUBER) return { cost: squares, weight: 1 };
  const s = Math.sqrt(squares);
  return { cost: 2 * HUBER * s - HUBER * HUBER, weight: HUBER / s };
}
