/** The middle one of the values in order, the upper of two; 0 when there are none. */
export function median(values: ArrayLike<number>): number {
  return Float64Array.from(values).sort()[values.length >> 1] ?? 0;
}
