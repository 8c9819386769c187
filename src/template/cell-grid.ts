import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { edgesOf, nearestOnEdge, outlinesOf, type PieceShape } from './piece-shape.ts';
import type { Rect } from './rect.ts';

/**
 * A rectangle of small square cells, each free (0) or taken (1): coarse, but enough to find room on a sheet.
 * The frame has its origin at the lower left corner, x right, y up, mm. Marking is generous: a cell that is
 * touched at all is taken.
 */
export class CellGrid {
  readonly columns: number;
  readonly rows: number;
  readonly cells: Uint8Array;

  constructor(
    readonly widthMm: number,
    readonly heightMm: number,
    readonly cellMm: number,
  ) {
    this.columns = Math.max(1, Math.ceil(widthMm / cellMm - 1e-9));
    this.rows = Math.max(1, Math.ceil(heightMm / cellMm - 1e-9));
    this.cells = new Uint8Array(this.columns * this.rows);
  }

  copy(): CellGrid {
    const grid = new CellGrid(this.widthMm, this.heightMm, this.cellMm);
    grid.cells.set(this.cells);
    return grid;
  }

  /** Takes the cells touched by a rectangle. */
  takeRect({ x, y, widthMm, heightMm }: Rect): void {
    const [left, right] = this.#span(x, x + widthMm, this.columns);
    const [bottom, top] = this.#span(y, y + heightMm, this.rows);
    for (let row = bottom; row <= top; row++) {
      this.cells.fill(1, row * this.columns + left, row * this.columns + right + 1);
    }
  }

  /** Takes every cell outside a rectangle, and those on its edge. */
  takeAllBut({ x, y, widthMm, heightMm }: Rect): void {
    for (let row = 0; row < this.rows; row++) {
      for (let column = 0; column < this.columns; column++) {
        const inside =
          column * this.cellMm >= x - 1e-9 &&
          (column + 1) * this.cellMm <= x + widthMm + 1e-9 &&
          row * this.cellMm >= y - 1e-9 &&
          (row + 1) * this.cellMm <= y + heightMm + 1e-9;
        if (!inside) this.cells[row * this.columns + column] = 1;
      }
    }
  }

  /** Takes the cells within `reachMm` of any line of the shape. */
  takeLines(shape: PieceShape, reachMm: number): void {
    // Half a cell's diagonal: a cell's centre may be that far from the part of it that is touched.
    const reach = reachMm + this.cellMm * Math.SQRT1_2;
    for (const [a, b] of edgesOf(shape)) {
      const [left, right] = this.#span(Math.min(a.x, b.x) - reach, Math.max(a.x, b.x) + reach, this.columns);
      const [bottom, top] = this.#span(Math.min(a.y, b.y) - reach, Math.max(a.y, b.y) + reach, this.rows);
      for (let row = bottom; row <= top; row++) {
        for (let column = left; column <= right; column++) {
          const centre = { x: (column + 0.5) * this.cellMm, y: (row + 0.5) * this.cellMm };
          if (distanceMm(centre, nearestOnEdge(centre, a, b)) <= reach)
            this.cells[row * this.columns + column] = 1;
        }
      }
    }
  }

  /** Takes the cells inside the shape's cut outline, openings in it too. */
  takeInside(shape: PieceShape): void {
    this.#fillInside(outlinesOf(shape, ['cut']), 1);
  }

  /** Takes every cell that is not foam of the shape: outside its cut outline or in an opening. */
  takeOutside(shape: PieceShape): void {
    const foam = new CellGrid(this.widthMm, this.heightMm, this.cellMm);
    foam.#fillInside(outlinesOf(shape, ['cut', 'cutout']), 1);
    foam.cells.forEach((inside, i) => {
      if (!inside) this.cells[i] = 1;
    });
  }

  /** Sets the cells whose centres lie inside the polygons (even-odd), row by row. */
  #fillInside(polygons: readonly (readonly PlanePoint[])[], value: number): void {
    for (let row = 0; row < this.rows; row++) {
      const y = (row + 0.5) * this.cellMm;
      const crossings: number[] = [];
      for (const polygon of polygons) {
        for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
          const [a, b] = [polygon[j]!, polygon[i]!];
          if (a.y > y !== b.y > y) crossings.push(a.x + ((b.x - a.x) * (y - a.y)) / (b.y - a.y));
        }
      }
      crossings.sort((a, b) => a - b);
      for (let i = 0; i + 1 < crossings.length; i += 2) {
        const first = Math.max(0, Math.ceil(crossings[i]! / this.cellMm - 0.5));
        const last = Math.min(this.columns - 1, Math.floor(crossings[i + 1]! / this.cellMm - 0.5));
        if (last >= first) this.cells.fill(value, row * this.columns + first, row * this.columns + last + 1);
      }
    }
  }

  #span(fromMm: number, toMm: number, count: number): readonly [number, number] {
    return [
      Math.max(0, Math.floor(fromMm / this.cellMm + 1e-9)),
      Math.min(count - 1, Math.ceil(toMm / this.cellMm - 1e-9) - 1),
    ];
  }
}
