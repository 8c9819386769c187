import { CellGrid } from './cell-grid.ts';
import { FreeRoom } from './free-room.ts';
import type { Rect } from './rect.ts';
import type { CheckSquare } from './sheet-types.ts';

/** The two squares to measure: 50 mm, and 2 in = 50.8 mm (1 in = 25.4 mm exactly). */
const CHECK_SQUARES = [
  { label: '50 mm', sideMm: 50 },
  { label: '2 in', sideMm: 50.8 },
] as const;
const [METRIC, INCH] = CHECK_SQUARES;
/** Between the two when they lie together. */
const APART_MM = 3;
/** Clear paper round each, where the sheet has it. */
const SQUARE_CLEARANCE_MM = 2;

const TOGETHER_MM = METRIC.sideMm + APART_MM + INCH.sideMm;

function square(
  { label, sideMm }: (typeof CHECK_SQUARES)[number],
  x: number,
  y: number,
  clear = true,
): CheckSquare {
  return { label, box: { x, y, widthMm: sideMm, heightMm: sideMm }, clear };
}

/** Both squares with their lower left corner at (x, y), side by side or one over the other. */
export function squarePair(x: number, y: number, stacked: boolean): readonly [CheckSquare, CheckSquare] {
  const far = METRIC.sideMm + APART_MM;
  return [square(METRIC, x, y), stacked ? square(INCH, x, y + far) : square(INCH, x + far, y)];
}

/**
 * Both squares where the grid has room, together if it can be, near the lower right corner; where it has none, where
 * they cross the least.
 */
export function placeSquares(taken: CellGrid): readonly CheckSquare[] {
  const grid = taken.copy();
  const corner = { x: grid.widthMm, y: 0 };
  const room = new FreeRoom(grid);
  const wide = room.nearest(TOGETHER_MM, INCH.sideMm, corner);
  if (wide) return squarePair(wide.x, wide.y, false);
  const high = room.nearest(INCH.sideMm, TOGETHER_MM, corner);
  if (high) return squarePair(high.x, high.y, true);
  return [INCH, METRIC].map((kind) => {
    const free = new FreeRoom(grid);
    const clear = free.nearest(kind.sideMm, kind.sideMm, corner);
    const box = clear ?? free.leastTaken(kind.sideMm, kind.sideMm, corner);
    if (!box) throw new Error('the sheet is smaller than a check square');
    grid.takeRect(box);
    return square(kind, box.x, box.y, clear !== undefined);
  });
}

/** Takes the room of the squares and the clear paper round them. */
export function takeSquares(grid: CellGrid, squares: readonly CheckSquare[]): void {
  for (const { box } of squares) {
    const around: Rect = {
      x: box.x - SQUARE_CLEARANCE_MM,
      y: box.y - SQUARE_CLEARANCE_MM,
      widthMm: box.widthMm + 2 * SQUARE_CLEARANCE_MM,
      heightMm: box.heightMm + 2 * SQUARE_CLEARANCE_MM,
    };
    grid.takeRect(around);
  }
}
