/** The sheets of an assembly: each tile with its joins, labels and check squares. */
import type { PlanePoint } from '../geometry/point.ts';
import type { Assembly, AssemblyMember } from './assemblies.ts';
import { CellGrid } from './cell-grid.ts';
import { placeSquares, takeSquares } from './check-squares.ts';
import { FreeRoom } from './free-room.ts';
import { joinsOf, takeJoins } from './joins.ts';
import { NEST_CELL_MM, NEST_GAP_MM } from './nest.ts';
import { besideText, labelIn, leaderTo, ROOM_CELL_MM, takeAllButFoam } from './piece-label.ts';
import { jointShape, moveShape, type PieceShape, touchesRect } from './piece-shape.ts';
import { movePlacement } from './placement.ts';
import { growRect, isInRect, moveRect, type Rect, rectCentre } from './rect.ts';
import type { CheckSquare, Join, PieceLabel, PlacedPiece } from './sheet-types.ts';
import type { TemplatePiece } from './template-input.ts';
import { tileCore, type TileSize, tileStep } from './tiling.ts';

/** A tile as begun: small pieces may still be laid in its free room. */
export interface TileSheet {
  readonly name: string;
  readonly pieces: readonly PlacedPiece[];
  readonly joins: readonly Join[];
  readonly labels: readonly PieceLabel[];
  readonly squares: readonly CheckSquare[];
  /** The tile's own part of the sheet, in the sheet's frame. */
  readonly core: Rect;
  /** All that lies on the assembly, in the sheet's frame. */
  readonly shape: PieceShape;
  /** Where the tile lies in its assembly, mm. */
  readonly origin: PlanePoint;
}

/** 0 -> A, 25 -> Z, 26 -> AA. */
function rowLetters(row: number): string {
  const letter = String.fromCharCode(65 + (row % 26));
  return row < 26 ? letter : rowLetters(Math.floor(row / 26) - 1) + letter;
}

export function sheetName(row: number, column: number): string {
  return `${rowLetters(row)}${column + 1}`;
}

/** A tile with the cells that are taken on it. */
interface Begun extends Omit<TileSheet, 'labels' | 'squares'> {
  readonly grid: CellGrid;
  readonly members: readonly AssemblyMember[];
  readonly labels: PieceLabel[];
}

/** The sheets of an assembly; their row letters begin at `firstRow`. */
export function tileSheets(
  { tiling, members }: Assembly,
  pieces: readonly TemplatePiece[],
  firstRow: number,
): TileSheet[] {
  const { size, rows, tiles } = tiling;
  const names = tiles.map(({ column, row }) => sheetName(firstRow + rows - 1 - row, column));
  const all = jointShape(members.map(({ shape }) => shape));
  const joins = joinsOf(tiling, all, names);
  const step = tileStep(size);
  const sheetRect = { x: 0, y: 0, widthMm: size.widthMm, heightMm: size.heightMm };
  const begun = tiles.map((tile, i): Begun => {
    const origin = { x: tile.column * step.x, y: tile.row * step.y };
    const shape = moveShape(all, -origin.x, -origin.y);
    const core = moveRect(tileCore(tiling, tile), -origin.x, -origin.y);
    const held = members
      .map((member) => moveMember(member, -origin.x, -origin.y))
      .filter(({ shape }) => touchesRect(shape, sheetRect));
    return {
      name: names[i]!,
      pieces: held.map(({ piece, placement }) => ({ piece, placement })),
      joins: joins[i]!,
      core,
      shape,
      origin,
      members: held,
      grid: roomOn(size, shape, joins[i]!),
      labels: [],
    };
  });
  for (const { piece } of members) labelOnTiles(begun, pieces[piece]!, piece);
  return begun.map((sheet) => ({ ...sheet, squares: placeSquares(sheet.grid) }));
}

function moveMember({ piece, placement, shape }: AssemblyMember, dx: number, dy: number): AssemblyMember {
  return { piece, placement: movePlacement(placement, dx, dy), shape: moveShape(shape, dx, dy) };
}

/** Cells taken by the lines and by the joins, with clear paper round them. */
function roomOn(size: TileSize, shape: PieceShape, joins: readonly Join[]): CellGrid {
  const grid = new CellGrid(size.widthMm, size.heightMm, ROOM_CELL_MM);
  grid.takeLines(shape, 2);
  takeJoins(grid, joins);
  return grid;
}

/** Labels a piece on each tile where it can be written on, or beside it where it is too narrow everywhere. */
function labelOnTiles(sheets: readonly Begun[], piece: TemplatePiece, index: number): void {
  const holding = sheets.filter(({ members }) => members.some((member) => member.piece === index));
  const inside = holding.map((sheet) => ({ sheet, label: labelInside(sheet, piece, index) }));
  const labelled = inside.some(({ label }) => label)
    ? inside
    : holding.slice(0, 1).map((sheet) => ({ sheet, label: labelBeside(sheet, piece, index) }));
  for (const { sheet, label } of labelled) {
    if (!label) continue;
    sheet.labels.push(label);
    sheet.grid.takeRect(growRect(label.box, 1));
  }
}

const shapeOf = ({ members }: Begun, index: number): PieceShape =>
  members.find(({ piece }) => piece === index)!.shape;

/** A label on the piece's part that the tile answers for. */
function labelInside(sheet: Begun, piece: TemplatePiece, index: number): PieceLabel | undefined {
  const grid = sheet.grid.copy();
  takeAllButFoam(grid, shapeOf(sheet, index));
  grid.takeAllBut(growRect(sheet.core, -1));
  return labelIn(new FreeRoom(grid), piece, index, middleOfPart(sheet, index));
}

function labelBeside(sheet: Begun, piece: TemplatePiece, index: number): PieceLabel | undefined {
  const grid = sheet.grid.copy();
  grid.takeInside(sheet.shape);
  grid.takeAllBut(growRect(sheet.core, -1));
  const text = besideText(piece, index + 1);
  const box = new FreeRoom(grid).leastTaken(text.widthMm, text.heightMm, middleOfPart(sheet, index));
  if (!box) return undefined;
  const { lines, sizeMm, upright } = text;
  return { piece: index, lines, sizeMm, upright, box, leader: leaderTo(partOn(sheet, index), box) };
}

/** The points of a piece's lines in the tile's own part of the sheet. */
function partOn(sheet: Begun, index: number): PieceShape {
  const shape = shapeOf(sheet, index);
  return {
    ...shape,
    lines: shape.lines.map((line) => ({
      ...line,
      closed: false,
      points: line.points.filter((point) => isInRect(point, sheet.core)),
    })),
  };
}

/** Middle of the part of a piece's bounds that the tile answers for. */
function middleOfPart(sheet: Begun, index: number): PlanePoint {
  const { minX, minY, maxX, maxY } = shapeOf(sheet, index).bounds;
  const { core } = sheet;
  const [left, right] = [Math.max(minX, core.x), Math.min(maxX, core.x + core.widthMm)];
  const [bottom, top] = [Math.max(minY, core.y), Math.min(maxY, core.y + core.heightMm)];
  return left < right && bottom < top ? { x: (left + right) / 2, y: (bottom + top) / 2 } : rectCentre(core);
}

/** Cells of a tile where no small piece may be nested: the strips it shares, its pieces, marks, labels and squares. */
export function takenForNesting(sheet: TileSheet, size: TileSize, keepSquares: boolean): CellGrid {
  const grid = new CellGrid(size.widthMm, size.heightMm, NEST_CELL_MM);
  grid.takeInside(sheet.shape);
  grid.takeLines(sheet.shape, NEST_GAP_MM);
  grid.takeAllBut(sheet.core);
  takeJoins(grid, sheet.joins);
  for (const label of sheet.labels) grid.takeRect(growRect(label.box, 1));
  if (keepSquares) takeSquares(grid, sheet.squares);
  return grid;
}
