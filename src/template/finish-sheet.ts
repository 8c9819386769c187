/** The last step for a sheet: its check squares, placed where they cross nothing if that can be. */
import { CellGrid } from './cell-grid.ts';
import { placeSquares, takeSquares } from './check-squares.ts';
import { FreeRoom } from './free-room.ts';
import { takeJoins } from './joins.ts';
import { labelIn, middleOf, ROOM_CELL_MM, takeAllButFoam } from './piece-label.ts';
import { type PieceShape, pieceShape } from './piece-shape.ts';
import { growRect } from './rect.ts';
import type { CheckSquare, Join, PieceLabel, PlacedPiece, TemplateSheet } from './sheet-types.ts';
import type { TemplatePiece } from './template-input.ts';
import type { TileSize } from './tiling.ts';

/** A sheet before its check squares and page number are known. */
export interface SheetDraft {
  readonly name: string;
  readonly pieces: readonly PlacedPiece[];
  readonly joins: readonly Join[];
  readonly labels: readonly PieceLabel[];
}

/** Clear paper between a check square and the lines of the pieces, mm. */
const CLEARANCE_MM = 2;

export function finishSheet(
  draft: SheetDraft,
  pieces: readonly TemplatePiece[],
  size: TileSize,
  pageNumber: number,
): TemplateSheet {
  const shapes = draft.pieces.map(({ piece, placement }) => pieceShape(pieces[piece]!.lines, placement));
  const lines = new CellGrid(size.widthMm, size.heightMm, ROOM_CELL_MM);
  for (const shape of shapes) lines.takeLines(shape, CLEARANCE_MM);
  takeJoins(lines, draft.joins);
  const squares = placeSquares(withLabels(lines, draft.labels));
  const asDrafted = { ...draft, pageNumber, squares };
  if (allClear(squares)) return asDrafted;
  const moved = labelsMoved(draft, shapes, pieces, lines);
  return moved ? { ...asDrafted, ...moved } : asDrafted;
}

const allClear = (squares: readonly CheckSquare[]): boolean => squares.every(({ clear }) => clear);

function withLabels(grid: CellGrid, labels: readonly PieceLabel[]): CellGrid {
  const taken = grid.copy();
  for (const label of labels) taken.takeRect(growRect(label.box, 1));
  return taken;
}

/** Squares first, then the labels that lie on pieces once more; undefined when that does not come out clear either. */
function labelsMoved(
  draft: SheetDraft,
  shapes: readonly PieceShape[],
  pieces: readonly TemplatePiece[],
  lines: CellGrid,
): Pick<TemplateSheet, 'labels' | 'squares'> | undefined {
  const beside = draft.labels.filter(({ leader }) => leader);
  const taken = withLabels(lines, beside);
  const squares = placeSquares(taken);
  if (!allClear(squares)) return undefined;
  takeSquares(taken, squares);
  const labels = [...beside];
  for (const { piece, leader } of draft.labels) {
    if (leader) continue;
    const shape = shapes[draft.pieces.findIndex((placed) => placed.piece === piece)]!;
    const foam = taken.copy();
    takeAllButFoam(foam, shape);
    const label = labelIn(new FreeRoom(foam), pieces[piece]!, piece, middleOf(shape));
    if (!label) return undefined;
    labels.push(label);
    taken.takeRect(growRect(label.box, 1));
  }
  return { labels, squares };
}
