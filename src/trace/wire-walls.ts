/** Where the side walls of a thick piece show along an edge that is followed, and where their feet lie. */
import { type Camera, imageToPlane, planeToImage } from '../capture/camera.ts';
import type { EdgeWindow } from './wire-cost.ts';

/**
 * From the image of a foot point to that of the top point straight above it, px: `at` the window's first cell, and
 * its change from column to column and row to row. It changes so little over a window that this is within a pixel.
 */
export interface SeenWalls {
  readonly at: readonly [number, number];
  readonly perColumn: readonly [number, number];
  readonly perRow: readonly [number, number];
}

/** Walls narrower than this hide in the edge's own cells, px and cells. */
const LEAST_WALL_PX = 4;
const LEAST_WALL_CELLS = 2;

/** The lean of upright lines over a window whose cells show the plane `zMm` above the table. */
export function seeWalls(camera: Camera, window: EdgeWindow, zMm: number): SeenWalls {
  const { leftPx, topPx, blockPx, columns, rows } = window;
  const lean = (column: number, row: number) => {
    const [u, v] = [leftPx + blockPx * column, topPx + blockPx * row];
    const foot = planeToImage(camera, imageToPlane(camera, { u, v }, zMm), 0);
    return [u - foot.u, v - foot.v] as const;
  };
  const [at, right, down] = [lean(0, 0), lean(columns, 0), lean(0, rows)];
  return {
    at,
    perColumn: [(right[0] - at[0]) / columns, (right[1] - at[1]) / columns],
    perRow: [(down[0] - at[0]) / rows, (down[1] - at[1]) / rows],
  };
}

function leanAt({ at, perColumn, perRow }: SeenWalls, axis: 0 | 1, column: number, row: number): number {
  return at[axis] + column * perColumn[axis] + row * perRow[axis];
}

/**
 * 1 where a side wall shows beside a top edge in a cell, -1 where the piece hides it, 0 where it is too nearly edge-on
 * to tell; `outU`, `outV` is the unit direction out of the material.
 */
export function wallSide(
  walls: SeenWalls,
  { columns, blockPx }: EdgeWindow,
  cell: number,
  outU: number,
  outV: number,
): -1 | 0 | 1 {
  const [row, column] = [Math.floor(cell / columns), cell % columns];
  const widthPx = -(outU * leanAt(walls, 0, column, row) + outV * leanAt(walls, 1, column, row));
  if (Math.abs(widthPx) < Math.max(LEAST_WALL_PX, LEAST_WALL_CELLS * blockPx)) return 0;
  return widthPx > 0 ? 1 : -1;
}

/** The cell that shows the foot below a top edge's cell; -1 outside the window. */
export function footCell(walls: SeenWalls, { columns, rows, blockPx }: EdgeWindow, cell: number): number {
  const [row, column] = [Math.floor(cell / columns), cell % columns];
  const c = column - Math.round(leanAt(walls, 0, column, row) / blockPx);
  const r = row - Math.round(leanAt(walls, 1, column, row) / blockPx);
  return c < 1 || r < 1 || c > columns - 2 || r > rows - 2 ? -1 : r * columns + c;
}
