import type { PlanePoint } from '../geometry/point.ts';
import type { CellGrid } from './cell-grid.ts';
import type { Rect } from './rect.ts';

/** Finds rectangles on a grid by how many taken cells they cover (a summed-area table: each query is four reads). */
export class FreeRoom {
  readonly #grid: CellGrid;
  readonly #sums: Int32Array;

  constructor(grid: CellGrid) {
    this.#grid = grid;
    const { columns, rows, cells } = grid;
    const stride = columns + 1;
    this.#sums = new Int32Array(stride * (rows + 1));
    for (let row = 0; row < rows; row++) {
      let run = 0;
      for (let column = 0; column < columns; column++) {
        run += cells[row * columns + column]!;
        this.#sums[(row + 1) * stride + column + 1] = this.#sums[row * stride + column + 1]! + run;
      }
    }
  }

  /** The free rectangle of this size whose centre lies nearest to `near`; undefined when there is none. */
  nearest(widthMm: number, heightMm: number, near: PlanePoint): Rect | undefined {
    const best = this.#best(widthMm, heightMm, near);
    return best && best.taken === 0 ? best.rect : undefined;
  }

  /** The rectangle that covers the fewest taken cells, nearest to `near`; undefined when it does not fit at all. */
  leastTaken(widthMm: number, heightMm: number, near: PlanePoint): Rect | undefined {
    return this.#best(widthMm, heightMm, near)?.rect;
  }

  #best(widthMm: number, heightMm: number, near: PlanePoint): { rect: Rect; taken: number } | undefined {
    const { columns, rows, cellMm } = this.#grid;
    const wide = Math.ceil(widthMm / cellMm - 1e-9);
    const high = Math.ceil(heightMm / cellMm - 1e-9);
    let best: { rect: Rect; taken: number; far: number } | undefined;
    for (let row = 0; row + high <= rows; row++) {
      const y = row * cellMm;
      if (y + heightMm > this.#grid.heightMm + 1e-9) break;
      for (let column = 0; column + wide <= columns; column++) {
        const x = column * cellMm;
        if (x + widthMm > this.#grid.widthMm + 1e-9) break;
        const taken = this.#taken(column, row, wide, high);
        if (best && taken > best.taken) continue;
        const far = (x + widthMm / 2 - near.x) ** 2 + (y + heightMm / 2 - near.y) ** 2;
        if (best && taken === best.taken && far >= best.far) continue;
        best = { rect: { x, y, widthMm, heightMm }, taken, far };
      }
    }
    return best;
  }

  #taken(column: number, row: number, wide: number, high: number): number {
    const stride = this.#grid.columns + 1;
    const sums = this.#sums;
    return (
      sums[(row + high) * stride + column + wide]! -
      sums[row * stride + column + wide]! -
      sums[(row + high) * stride + column]! +
      sums[row * stride + column]!
    );
  }
}
