import FlatQueue from 'flatqueue';
import type { EdgeWindow } from './wire-cost.ts';

/** What a step costs per cell: off the ridge of an edge, where the edge is faint, across it, and in any case. */
const OFF_RIDGE = 0.3;
const FAINT = 0.5;
const ACROSS = 0.2;
const ANY_STEP = 0.04;

/** Share of the steepest of the two ends' slopes from which an edge counts as fully clear. */
const CLEAR_SHARE = 0.8;

/**
 * The cheapest way along the edges from one cell to another, both included, by Dijkstra's search over eight
 * neighbours. The costs are those of Mortensen & Barrett, "Intelligent scissors for image composition", SIGGRAPH 1995
 * (zero crossing, steepness, direction), with the clearness of the edge at the two ends as what they call training.
 */
export function cheapestWay(window: EdgeWindow, from: number, to: number): number[] {
  const { columns, rows, slope, isRidge, acrossU, acrossV } = window;
  const cost = new Float64Array(slope.length).fill(Infinity);
  const before = new Int32Array(slope.length).fill(-1);
  const isDone = new Uint8Array(slope.length);
  const clear = CLEAR_SHARE * (Math.min(slope[from]!, slope[to]!) || Math.max(slope[from]!, slope[to]!) || 1);
  const queue = new FlatQueue();
  cost[from] = 0;
  queue.push(from, 0);
  for (let cell = queue.pop(); cell !== undefined && cell !== to; cell = queue.pop()) {
    if (isDone[cell]) continue;
    isDone[cell] = 1;
    const [row, column] = [Math.floor(cell / columns), cell % columns];
    for (let dv = -1; dv <= 1; dv++) {
      for (let du = -1; du <= 1; du++) {
        const [r, c] = [row + dv, column + du];
        if ((du === 0 && dv === 0) || r < 1 || c < 1 || r > rows - 2 || c > columns - 2) continue;
        const next = r * columns + c;
        if (isDone[next]) continue;
        const step = du !== 0 && dv !== 0 ? Math.SQRT2 : 1;
        const across = Math.abs(du * acrossU[next]! + dv * acrossV[next]!) / step;
        const faint = 1 - Math.min(1, slope[next]! / clear);
        const dear = ANY_STEP + (isRidge[next] ? 0 : OFF_RIDGE) + FAINT * faint + ACROSS * across;
        const total = cost[cell]! + step * dear;
        if (total >= cost[next]!) continue;
        cost[next] = total;
        before[next] = cell;
        queue.push(next, total);
      }
    }
  }
  const way: number[] = [];
  for (let cell = to; cell >= 0; cell = before[cell]!) way.push(cell);
  return way.reverse();
}
