/**
 * Lays shapes on as few sheets as it can. Bottom-left filling with coarse cells (here: top-left, as a page is
 * read): each shape goes to the first sheet with room for it, as high as it can lie and then as far left.
 */
import { CellGrid } from './cell-grid.ts';
import type { PieceShape } from './piece-shape.ts';
import type { Rect } from './rect.ts';

export const NEST_CELL_MM = 2;
/** Paper between pieces, enough for scissors. */
export const NEST_GAP_MM = 5;
const HALO_CELLS = Math.ceil(NEST_GAP_MM / NEST_CELL_MM);

/** Cells of a row that a shape covers, first and last column. */
type Run = readonly [number, number];

/** A shape in one of the turns it may lie in; its lower left corner is the origin. */
export interface NestShape {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Cells it covers, row by row from the bottom. */
  readonly runs: readonly (readonly Run[])[];
  /** The same with the gap round it, `HALO_CELLS` further out. */
  readonly halo: CellGrid;
}

export interface NestPlace {
  readonly sheet: number;
  /** Which of the item's shapes. */
  readonly turn: number;
  /** Lower left corner on the sheet, mm. */
  readonly x: number;
  readonly y: number;
}

/** The cells of a piece (and of a rectangle that goes with it) whose lower left corner is the origin. */
export function nestShape(
  shape: PieceShape,
  beside: Rect | undefined,
  widthMm: number,
  heightMm: number,
): NestShape {
  const solid = new CellGrid(widthMm, heightMm, NEST_CELL_MM);
  solid.takeInside(shape);
  solid.takeLines(shape, 0);
  if (beside) solid.takeRect(beside);
  return { widthMm, heightMm, runs: runsOf(solid), halo: haloOf(solid) };
}

/** Area of the cells that a shape covers, mm2: a little more than its own. */
export function shapeAreaMm2({ runs }: NestShape): number {
  return runs.flat().reduce((sum, [first, last]) => sum + last - first + 1, 0) * NEST_CELL_MM ** 2;
}

function runsOf({ columns, rows, cells }: CellGrid): Run[][] {
  return Array.from({ length: rows }, (_, row) => {
    const runs: Run[] = [];
    let start = -1;
    for (let column = 0; column <= columns; column++) {
      const taken = column < columns && cells[row * columns + column] === 1;
      if (taken && start < 0) start = column;
      if (!taken && start >= 0) {
        runs.push([start, column - 1]);
        start = -1;
      }
    }
    return runs;
  });
}

/** Every cell within the gap of a taken one (a square neighbourhood: generous at corners). */
function haloOf(solid: CellGrid): CellGrid {
  const pad = HALO_CELLS * NEST_CELL_MM;
  const halo = new CellGrid(
    solid.columns * NEST_CELL_MM + 2 * pad,
    solid.rows * NEST_CELL_MM + 2 * pad,
    NEST_CELL_MM,
  );
  runsOf(solid).forEach((runs, row) => {
    for (const [first, last] of runs) {
      for (let to = row; to <= row + 2 * HALO_CELLS; to++) {
        halo.cells.fill(1, to * halo.columns + first, to * halo.columns + last + 2 * HALO_CELLS + 1);
      }
    }
  });
  return halo;
}

/** A sheet being filled: its cells, and for each the nearest taken one in its row, itself or to the left (-1: none). */
class Sheet {
  readonly #grid: CellGrid;
  readonly #lastTaken: Int16Array;

  constructor(grid: CellGrid) {
    this.#grid = grid.copy();
    this.#lastTaken = new Int16Array(grid.columns * grid.rows);
    this.#count(0, grid.rows);
  }

  /** The highest, then leftmost, place for a shape. */
  find({ widthMm, heightMm, runs }: NestShape): { x: number; y: number } | undefined {
    const grid = this.#grid;
    const lastRow = Math.floor((grid.heightMm - heightMm) / NEST_CELL_MM + 1e-9);
    const lastColumn = Math.floor((grid.widthMm - widthMm) / NEST_CELL_MM + 1e-9);
    for (let row = lastRow; row >= 0; row--) {
      for (let column = 0; column <= lastColumn; ) {
        const next = this.#nextColumn(runs, column, row);
        if (next === column) return { x: column * NEST_CELL_MM, y: row * NEST_CELL_MM };
        column = next;
      }
    }
    return undefined;
  }

  put({ halo }: NestShape, x: number, y: number): void {
    const { columns, rows, cells } = this.#grid;
    const left = Math.round(x / NEST_CELL_MM) - HALO_CELLS;
    const bottom = Math.round(y / NEST_CELL_MM) - HALO_CELLS;
    const [first, end] = [Math.max(0, bottom), Math.min(rows, bottom + halo.rows)];
    for (let row = first; row < end; row++) {
      for (let column = Math.max(0, -left); column < halo.columns && left + column < columns; column++) {
        if (halo.cells[(row - bottom) * halo.columns + column]) cells[row * columns + left + column] = 1;
      }
    }
    this.#count(first, end);
  }

  /** `column` itself when the shape is free there, else the next column that may be: past the taken cell in the way. */
  #nextColumn(runs: readonly (readonly Run[])[], column: number, row: number): number {
    const { columns } = this.#grid;
    for (let i = 0; i < runs.length; i++) {
      const base = (row + i) * columns + column;
      for (const [first, last] of runs[i]!) {
        const taken = this.#lastTaken[base + last]!;
        if (taken >= column + first) return taken - first + 1;
      }
    }
    return column;
  }

  #count(firstRow: number, endRow: number): void {
    const { columns, cells } = this.#grid;
    for (let row = firstRow; row < endRow; row++) {
      for (let column = 0, last = -1; column < columns; column++) {
        if (cells[row * columns + column]) last = column;
        this.#lastTaken[row * columns + column] = last;
      }
    }
  }
}

function placeOn(sheet: Sheet, shapes: readonly NestShape[]): Omit<NestPlace, 'sheet'> | undefined {
  let best: Omit<NestPlace, 'sheet'> | undefined;
  shapes.forEach((shape, turn) => {
    const found = sheet.find(shape);
    // Of the turns, the one whose foot stays highest leaves the most of the sheet below.
    if (found && (!best || found.y > best.y || (found.y === best.y && found.x < best.x)))
      best = { turn, ...found };
  });
  if (best) sheet.put(shapes[best.turn]!, best.x, best.y);
  return best;
}

/** The place on one sheet, as it is filled, for one item; undefined when it has no room. */
export function findRoom(grid: CellGrid, shapes: readonly NestShape[]): Omit<NestPlace, 'sheet'> | undefined {
  return placeOn(new Sheet(grid), shapes);
}

/**
 * Places the items, in the order given, on the sheets `begun` (numbered first) and then on copies of `fresh`.
 * Throws when an item does not fit on an empty sheet in any of its turns.
 */
export function nest(
  items: readonly (readonly NestShape[])[],
  begun: readonly CellGrid[],
  fresh: CellGrid,
): { readonly places: readonly NestPlace[]; readonly sheetCount: number } {
  const sheets = begun.map((grid) => new Sheet(grid));
  const places = items.map((shapes) => {
    for (let i = 0; i < sheets.length; i++) {
      const place = placeOn(sheets[i]!, shapes);
      if (place) return { sheet: i, ...place };
    }
    for (const grid of [fresh, new CellGrid(fresh.widthMm, fresh.heightMm, fresh.cellMm)]) {
      const sheet = new Sheet(grid);
      const place = placeOn(sheet, shapes);
      if (place) return { sheet: sheets.push(sheet) - 1, ...place };
    }
    throw new Error('a shape is larger than the sheet it was to be nested on');
  });
  return { places, sheetCount: sheets.length };
}
