/**
 * The way back along a closed contour of `count` samples that was walked twice round: `from` holds, for each of the
 * 2 * count steps, the state before each state; `total` what ending in each costs. Returns the second round's states.
 */
export function trackBack(from: Int16Array, total: Float64Array, count: number): Int32Array {
  const states = total.length;
  let state = total.indexOf(Math.min(...total));
  const track = new Int32Array(count);
  for (let k = 2 * count - 1; k >= 0; k--) {
    if (k >= count) track[k - count] = state;
    state = from[k * states + state]!;
  }
  return track;
}
