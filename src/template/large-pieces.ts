/** Pieces that need several sheets: each becomes a group of tiles with joins, labels and check squares. */
import { CellGrid } from './cell-grid.ts';
import { placeSquares, takeSquares } from './check-squares.ts';
import { FreeRoom } from './free-room.ts';
import { joinBoxes, joinsOf } from './joins.ts';
import { NEST_CELL_MM, NEST_GAP_MM } from './nest.ts';
import { besideText, labelIn, leaderTo, ROOM_CELL_MM, takeAllButFoam } from './piece-label.ts';
import { moveShape, type PieceShape } from './piece-shape.ts';
import { movePlacement } from './placement.ts';
import { growRect, moveRect, type Rect, rectCentre } from './rect.ts';
import type { Join, PieceLabel, PlacedPiece, CheckSquare } from './sheet-types.ts';
import type { TemplatePiece } from './template-input.ts';
import { tileCore, tilePiece, type TileSize, tileStep, type Tiling } from './tiling.ts';

/** A tile as begun: small pieces may still be laid in its free room. */
export interface TileSheet {
  readonly name: string;
  readonly placed: PlacedPiece;
  readonly joins: readonly Join[];
  readonly labels: readonly PieceLabel[];
  readonly squares: readonly CheckSquare[];
  /** The tile's own part of the sheet, in the sheet's frame. */
  readonly core: Rect;
  readonly shape: PieceShape;
  /** Where the tile lies in its group, mm. */
  readonly origin: { readonly x: number; readonly y: number };
}

export interface LargePiece {
  readonly piece: number;
  readonly tiling: Tiling;
  readonly sheets: readonly TileSheet[];
  /** Row letters used. */
  readonly rowCount: number;
}

/** 0 -> A, 25 -> Z, 26 -> AA. */
function rowLetters(row: number): string {
  const letter = String.fromCharCode(65 + (row % 26));
  return row < 26 ? letter : rowLetters(Math.floor(row / 26) - 1) + letter;
}

export function sheetName(row: number, column: number): string {
  return `${rowLetters(row)}${column + 1}`;
}

/** Tiles a piece; its sheets' row letters begin at `firstRow`. */
export function largePiece(
  piece: TemplatePiece,
  index: number,
  size: TileSize,
  firstRow: number,
): LargePiece {
  const tiling = tilePiece(piece.lines, size);
  const names = tiling.tiles.map(({ column, row }) => sheetName(firstRow + tiling.rows - 1 - row, column));
  const joins = joinsOf(tiling, names);
  const step = tileStep(size);
  const sheets = tiling.tiles.map((tile, i) => {
    const origin = { x: tile.column * step.x, y: tile.row * step.y };
    const shape = moveShape(tiling.shape, -origin.x, -origin.y);
    const core = moveRect(tileCore(tiling, tile), -origin.x, -origin.y);
    const placed = { piece: index, placement: movePlacement(tiling.placement, -origin.x, -origin.y) };
    const grid = roomOn(size, shape, joins[i]!);
    const label = tileLabel(grid, piece, index, shape, core);
    return { name: names[i]!, placed, joins: joins[i]!, core, shape, origin, grid, label };
  });
  const shown = sheets.some(({ label }) => label) ? sheets : withLabelBeside(sheets, piece, index);
  return {
    piece: index,
    tiling,
    rowCount: tiling.rows,
    sheets: shown.map(({ grid, label, ...sheet }) => {
      if (label) grid.takeRect(growRect(label.box, 1));
      return { ...sheet, labels: label ? [label] : [], squares: placeSquares(grid) };
    }),
  };
}

/** Cells taken by the piece's lines and by the joins, with clear paper round them. */
function roomOn(size: TileSize, shape: PieceShape, joins: readonly Join[]): CellGrid {
  const grid = new CellGrid(size.widthMm, size.heightMm, ROOM_CELL_MM);
  grid.takeLines(shape, 2);
  for (const join of joins) {
    for (const box of joinBoxes(join)) grid.takeRect(box);
    const [x, y] = [Math.min(join.from.x, join.to.x) - 1, Math.min(join.from.y, join.to.y) - 1];
    grid.takeRect({
      x,
      y,
      widthMm: Math.abs(join.to.x - join.from.x) + 2,
      heightMm: Math.abs(join.to.y - join.from.y) + 2,
    });
  }
  return grid;
}

/** A label on the tile's own part of the piece. */
function tileLabel(
  room: CellGrid,
  piece: TemplatePiece,
  index: number,
  shape: PieceShape,
  core: Rect,
): PieceLabel | undefined {
  const grid = room.copy();
  takeAllButFoam(grid, shape);
  grid.takeAllBut(growRect(core, -1));
  return labelIn(new FreeRoom(grid), piece, index, rectCentre(core));
}

type Begun = Omit<TileSheet, 'labels' | 'squares'> & {
  readonly grid: CellGrid;
  readonly label: PieceLabel | undefined;
};

/** The piece is too narrow to be written on: its label goes beside it on the first tile. */
function withLabelBeside(sheets: readonly Begun[], piece: TemplatePiece, index: number): readonly Begun[] {
  return sheets.map((sheet, i) => {
    if (i > 0) return sheet;
    const grid = sheet.grid.copy();
    grid.takeInside(sheet.shape);
    grid.takeAllBut(growRect(sheet.core, -1));
    const text = besideText(piece, index + 1);
    const near = visibleMiddle(sheet);
    const box = new FreeRoom(grid).leastTaken(text.widthMm, text.heightMm, near);
    if (!box) return sheet;
    const label = { piece: index, lines: text.lines, sizeMm: text.sizeMm, upright: false, box };
    return { ...sheet, label: { ...label, leader: leaderTo(visiblePart(sheet), box) } };
  });
}

/** The lines' points that lie in the tile's own part of the sheet. */
function visiblePart({ shape, core }: Begun): PieceShape {
  const inCore = ({ x, y }: { readonly x: number; readonly y: number }): boolean =>
    x >= core.x && x <= core.x + core.widthMm && y >= core.y && y <= core.y + core.heightMm;
  return {
    ...shape,
    lines: shape.lines.map((line) => ({ ...line, closed: false, points: line.points.filter(inCore) })),
  };
}

function visibleMiddle(sheet: Begun): { x: number; y: number } {
  const points = visiblePart(sheet).lines.flatMap((line) => line.points);
  if (points.length === 0) return rectCentre(sheet.core);
  const sum = points.reduce((total, { x, y }) => ({ x: total.x + x, y: total.y + y }), { x: 0, y: 0 });
  return { x: sum.x / points.length, y: sum.y / points.length };
}

/** Cells of a tile where no small piece may be nested: the strips it shares, its piece, marks, labels and squares. */
export function takenForNesting(sheet: TileSheet, size: TileSize, keepSquares: boolean): CellGrid {
  const grid = new CellGrid(size.widthMm, size.heightMm, NEST_CELL_MM);
  grid.takeInside(sheet.shape);
  grid.takeLines(sheet.shape, NEST_GAP_MM);
  grid.takeAllBut(sheet.core);
  for (const join of sheet.joins) for (const box of joinBoxes(join)) grid.takeRect(box);
  for (const label of sheet.labels) grid.takeRect(growRect(label.box, 1));
  if (keepSquares) takeSquares(grid, sheet.squares);
  return grid;
}
