import FlatQueue from 'flatqueue';
import type { EdgeWindow } from './wire-cost.ts';
import { costOfSides, type EdgeKind } from './wire-kind.ts';
import { footCell, type SeenWalls, wallSide } from './wire-walls.ts';

/** What a step costs per cell: off the ridge of an edge, where the edge is faint, across it, and in any case. */
const OFF_RIDGE = 0.3;
const FAINT = 0.5;
const ACROSS = 0.2;
const ANY_STEP = 0.04;
/** And where a wall should show but no foot does, or a foot where none should. */
const STRANGE = 0.3;
/** A foot this share as steep as a clear edge is seen. */
const FOOT_SHARE = 0.4;

/** Share of the steepest of the two ends' slopes from which an edge counts as fully clear. */
const CLEAR_SHARE = 0.8;

/** The eight steps to a neighbour, each with the places looked at on its left hand. */
function stepsOf({ columns }: EdgeWindow, [near, far]: readonly [number, number]) {
  return [-1, 0, 1].flatMap((dv) =>
    [-1, 0, 1].flatMap((du) => {
      if (du === 0 && dv === 0) return [];
      const length = Math.hypot(du, dv);
      // The left hand of who goes along (du, dv), with v downwards.
      const [u, v] = [dv / length, -du / length];
      const aside = (cells: number) => Math.round(cells * v) * columns + Math.round(cells * u);
      return [{ du, dv, length, leftU: u, leftV: v, left: { near: aside(near), far: aside(far) } }];
    }),
  );
}

/** The slope of a clear edge, by the two ends; at either the foot of its wall may be clearer than a top edge. */
function clearSlope(window: EdgeWindow, from: number, to: number, walls: SeenWalls | undefined): number {
  const [a, b] = [from, to].map((end) => {
    const foot = walls ? footCell(walls, window, end) : -1;
    return Math.max(window.slope[end]!, foot < 0 ? 0 : window.slope[foot]!);
  });
  return Math.min(a!, b!) || Math.max(a!, b!) || 1;
}

/** The edge that is looked for: its kind, how far aside that is judged (cells), and the walls of a thick piece. */
export interface Wanted {
  readonly kind: EdgeKind;
  readonly aside: readonly [number, number];
  readonly walls: SeenWalls | undefined;
}

/**
 * The cheapest way along the edges from one cell to another, both included, and its cost, by Dijkstra's search over
 * eight neighbours; undefined when it would cost `most`. The costs are those of Mortensen & Barrett, "Intelligent
 * scissors for image composition", SIGGRAPH 1995 (zero crossing, steepness, direction), with the clearness of the edge
 * and the colours beside it at the two ends as what they call training. Where a wall shows, the foot below a place
 * speaks for it as the edge itself does: the one is as often too faint to see as the other.
 */
export function cheapestWay(
  window: EdgeWindow,
  from: number,
  to: number,
  { kind, aside, walls }: Wanted,
  most: number,
): { readonly way: number[]; readonly cost: number } | undefined {
  const { columns, rows, slope, isRidge, acrossU, acrossV } = window;
  const size = slope.length;
  const cost = new Float64Array(size).fill(Infinity);
  const before = new Int32Array(size).fill(-1);
  const isDone = new Uint8Array(size);
  const clear = CLEAR_SHARE * clearSlope(window, from, to, walls);
  const steps = stepsOf(window, aside);
  const hand = kind.materialOnLeft ? -1 : 1;
  const queue = new FlatQueue();
  cost[from] = 0;
  queue.push(from, 0);
  for (let cell = queue.pop(); cell !== undefined && cell !== to; cell = queue.pop()) {
    if (isDone[cell]) continue;
    if (cost[cell]! >= most) return undefined;
    isDone[cell] = 1;
    const [row, column] = [Math.floor(cell / columns), cell % columns];
    for (const { du, dv, length, leftU, leftV, left } of steps) {
      const [r, c] = [row + dv, column + du];
      if (r < 1 || c < 1 || r > rows - 2 || c > columns - 2) continue;
      const next = r * columns + c;
      if (isDone[next]) continue;
      const side = walls ? wallSide(walls, window, next, hand * leftU, hand * leftV) : 0;
      const foot = walls && side !== 0 ? footCell(walls, window, next) : -1;
      // How clearly an edge runs beside this step where the wall's foot would.
      const along = foot < 0 ? 0 : 1 - Math.abs(du * acrossU[foot]! + dv * acrossV[foot]!) / length;
      const footSeen = foot < 0 ? 0 : Math.min(1, (along * slope[foot]!) / (FOOT_SHARE * clear));
      const shows = side > 0;
      const steep = slope[next]! + (shows && foot >= 0 ? along * slope[foot]! : 0);
      const at = shows && foot >= 0 && along * slope[foot]! > slope[next]! ? foot : next;
      const across = Math.abs(du * acrossU[at]! + dv * acrossV[at]!) / length;
      const faint = 1 - Math.min(1, steep / clear);
      const isOn = isRidge[next] === 1 || (shows && foot >= 0 && isRidge[foot] === 1);
      const sides = costOfSides(kind, window, next, left, shows);
      const strange = foot < 0 ? 0 : shows ? 1 - footSeen : footSeen;
      const dear =
        STRANGE * strange + ANY_STEP + (isOn ? 0 : OFF_RIDGE) + FAINT * faint + ACROSS * across + sides;
      const total = cost[cell]! + length * dear;
      if (total >= cost[next]!) continue;
      cost[next] = total;
      before[next] = cell;
      queue.push(next, total);
    }
  }
  const way: number[] = [];
  for (let cell = to; cell >= 0; cell = before[cell]!) way.push(cell);
  return { way: way.reverse(), cost: cost[to]! };
}
