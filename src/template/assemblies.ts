/** Which of the pieces too large for one sheet are tiled together: a second one joins where it needs no more sheets. */
import { CellGrid } from './cell-grid.ts';
import { findRoom, NEST_CELL_MM, NEST_GAP_MM, type NestShape, nestShape } from './nest.ts';
import { moveShape, type PieceShape, pieceShape } from './piece-shape.ts';
import { movePlacement, type Placement } from './placement.ts';
import type { TemplatePiece } from './template-input.ts';
import { type Lean, tileCore, tilePiece, type TileSize, type Tiling } from './tiling.ts';

export interface AssemblyMember {
  /** Index in the template's pieces. */
  readonly piece: number;
  readonly placement: Placement;
  readonly shape: PieceShape;
}

/** A grid of tiles with the pieces on it, in the assembly's frame. */
export interface Assembly {
  readonly tiling: Tiling;
  readonly members: readonly AssemblyMember[];
}

export interface IndexedPiece {
  readonly piece: TemplatePiece;
  readonly index: number;
}

const SQUARE_TURNS = [0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2];

/** Tiles the pieces: planned the longest first, returned in the order of the pieces. */
export function assemble(pieces: readonly IndexedPiece[], size: TileSize, lean: Lean): Assembly[] {
  const longest = ({ piece }: IndexedPiece): number => {
    const { minX, minY, maxX, maxY } = pieceShape(piece.lines, { turnRad: 0, shift: { x: 0, y: 0 } }).bounds;
    return Math.max(maxX - minX, maxY - minY);
  };
  const order = pieces.toSorted((a, b) => longest(b) - longest(a) || a.index - b.index);
  const assemblies: Assembly[] = [];
  for (const each of order) {
    const turns = SQUARE_TURNS.map((turnRad) => cornered(each.piece, turnRad));
    const at = assemblies.findIndex((assembly, i) => {
      const joined = joinedBy(assembly, each.index, turns);
      if (joined) assemblies[i] = joined;
      return joined !== undefined;
    });
    if (at < 0) assemblies.push(ownAssembly(each, size, lean));
  }
  const firstOf = ({ members }: Assembly): number => Math.min(...members.map(({ piece }) => piece));
  return assemblies.toSorted((a, b) => firstOf(a) - firstOf(b));
}

function ownAssembly({ piece, index }: IndexedPiece, size: TileSize, lean: Lean): Assembly {
  const tiling = tilePiece(piece.lines, size, lean);
  return { tiling, members: [{ piece: index, placement: tiling.placement, shape: tiling.shape }] };
}

interface CorneredPiece {
  readonly placement: Placement;
  readonly shape: PieceShape;
  readonly nest: NestShape;
}

/** The piece turned, its lower left corner at the origin. */
function cornered({ lines }: TemplatePiece, turnRad: number): CorneredPiece {
  const placement = { turnRad, shift: { x: 0, y: 0 } };
  const { bounds, ...shape } = pieceShape(lines, placement);
  const [dx, dy] = [-bounds.minX, -bounds.minY];
  const moved = moveShape({ bounds, ...shape }, dx, dy);
  const nest = nestShape(moved, undefined, moved.bounds.maxX, moved.bounds.maxY);
  return { placement: movePlacement(placement, dx, dy), shape: moved, nest };
}

/** The assembly with the piece laid beside those it has; undefined when there is no room. */
function joinedBy(assembly: Assembly, piece: number, turns: readonly CorneredPiece[]): Assembly | undefined {
  const room = findRoom(
    roomIn(assembly),
    turns.map(({ nest }) => nest),
  );
  if (!room) return undefined;
  const { placement, shape } = turns[room.turn]!;
  const member = {
    piece,
    placement: movePlacement(placement, room.x, room.y),
    shape: moveShape(shape, room.x, room.y),
  };
  return { ...assembly, members: [...assembly.members, member] };
}

function roomIn({ tiling, members }: Assembly): CellGrid {
  const { size, columns, rows, tiles } = tiling;
  const grid = new CellGrid(
    size.widthMm + (columns - 1) * (size.widthMm - size.overlapMm),
    size.heightMm + (rows - 1) * (size.heightMm - size.overlapMm),
    NEST_CELL_MM,
  );
  for (let column = 0; column < columns; column++) {
    for (let row = 0; row < rows; row++) {
      const held = tiles.some((tile) => tile.column === column && tile.row === row);
      if (!held) grid.takeRect(tileCore(tiling, { column, row }));
    }
  }
  for (const { shape } of members) {
    grid.takeInside(shape);
    grid.takeLines(shape, NEST_GAP_MM);
  }
  return grid;
}
