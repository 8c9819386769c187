/** Divides a piece that is larger than a sheet into tiles: the turn and the shift that need the fewest sheets. */
import { isInside } from '../geometry/measure.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { movePlacement, type Placement } from './placement.ts';
import { edgesOf, moveShape, outlinesOf, type PieceShape, pieceShape } from './piece-shape.ts';
import type { Rect } from './rect.ts';

export interface TileSize {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly overlapMm: number;
}

/** Column from the left, row from the bottom. */
export interface Tile {
  readonly column: number;
  readonly row: number;
}

/**
 * A tiled piece. The assembly frame is the frame of all its sheets joined: origin at the lower left corner of
 * the lower left tile. Tile (column, row) has its origin at (column * stepX, row * stepY).
 */
export interface Tiling {
  readonly size: TileSize;
  readonly columns: number;
  readonly rows: number;
  /** The tiles that hold some of the piece, top row first, left to right. */
  readonly tiles: readonly Tile[];
  readonly placement: Placement;
  readonly shape: PieceShape;
}

/** Each tile's origin lies this far from its neighbour's. */
export function tileStep({ widthMm, heightMm, overlapMm }: TileSize): {
  readonly x: number;
  readonly y: number;
} {
  return { x: widthMm - overlapMm, y: heightMm - overlapMm };
}

/**
 * The part of the assembly that a tile answers for: to the middle of each strip that it shares with a neighbour.
 * In the assembly frame, mm.
 */
export function tileCore({ size, columns, rows }: Tiling, { column, row }: Tile): Rect {
  const step = tileStep(size);
  const half = size.overlapMm / 2;
  const [left, right] = [column > 0 ? half : 0, column < columns - 1 ? half : 0];
  const [bottom, top] = [row > 0 ? half : 0, row < rows - 1 ? half : 0];
  return {
    x: column * step.x + left,
    y: row * step.y + bottom,
    widthMm: size.widthMm - left - right,
    heightMm: size.heightMm - bottom - top,
  };
}

const QUARTER = Math.PI / 2;
/** Square turns first: a skew one only where it saves a sheet. */
const TURNS: readonly number[] = [
  0,
  QUARTER,
  ...Array.from({ length: 36 }, (_, i) => (i * Math.PI) / 36).filter((_, i) => i % 18 !== 0),
];
const SHIFT_STEPS = 6;
/** Edges are looked at this often; less of a line than that in a tile's corner shows in the neighbours' strips. */
const SAMPLE_MM = 0.5;
/** Lines this close to a shared strip get in the way of its marks. */
const JOIN_ROOM_MM = 3;

/** How many tiles cover a length. */
function tilesFor(lengthMm: number, tileMm: number, overlapMm: number): number {
  return Math.max(1, Math.ceil((lengthMm - overlapMm) / (tileMm - overlapMm) - 1e-9));
}

/** Where a piece lies in room to spare: in the middle, or to one side so that other pieces fit beside it. */
export type Lean = 'middle' | 'side';

/** The tiling with the fewest sheets; of those one not skew, with the least length of line in the shared strips. */
export function tilePiece(lines: readonly PieceLine[], size: TileSize, lean: Lean): Tiling {
  let best: { tiling: Tiling; rank: readonly number[] } | undefined;
  for (const turnRad of TURNS) {
    const placement: Placement = { turnRad, shift: { x: 0, y: 0 } };
    const shape = pieceShape(lines, placement);
    const { columns, rows } = tileCounts(shape, size);
    const skew = turnRad === 0 || turnRad === QUARTER ? 0 : 1;
    // The piece reaches into every column and every row, so it needs at least as many tiles as there are.
    if (skew && best && Math.max(columns, rows) >= best.tiling.tiles.length) continue;
    for (const { tiling, inStrips, aside } of tilingsOf(shape, placement, size, lean)) {
      const rank = [tiling.tiles.length, skew, inStrips, aside];
      if (!best || isLess(rank, best.rank)) best = { tiling, rank };
    }
  }
  return best!.tiling;
}

function isLess(a: readonly number[], b: readonly number[]): boolean {
  const i = a.findIndex((value, k) => Math.abs(value - b[k]!) > 1e-9);
  return i >= 0 && a[i]! < b[i]!;
}

interface Candidate {
  readonly tiling: Tiling;
  /** Length of line near the joins, in samples. */
  readonly inStrips: number;
  /** How far from where it is wanted, in steps. */
  readonly aside: number;
}

function tileCounts({ bounds }: PieceShape, size: TileSize): { columns: number; rows: number } {
  return {
    columns: tilesFor(bounds.maxX - bounds.minX, size.widthMm, size.overlapMm),
    rows: tilesFor(bounds.maxY - bounds.minY, size.heightMm, size.overlapMm),
  };
}

/** The tilings of a turned piece at a few shifts over the room that its tiles leave. */
function* tilingsOf(
  shape: PieceShape,
  placement: Placement,
  size: TileSize,
  lean: Lean,
): Generator<Candidate> {
  const { minX, minY, maxX, maxY } = shape.bounds;
  const { columns, rows } = tileCounts(shape, size);
  const step = tileStep(size);
  const roomX = (columns - 1) * step.x + size.widthMm - (maxX - minX);
  const roomY = (rows - 1) * step.y + size.heightMm - (maxY - minY);
  const wanted = lean === 'middle' ? SHIFT_STEPS / 2 : 0;
  for (let i = 0; i <= SHIFT_STEPS; i++) {
    for (let j = 0; j <= SHIFT_STEPS; j++) {
      const dx = (roomX * i) / SHIFT_STEPS - minX;
      const dy = (roomY * j) / SHIFT_STEPS - minY;
      const moved = moveShape(shape, dx, dy);
      const empty: Tiling = {
        size,
        columns,
        rows,
        tiles: [],
        placement: movePlacement(placement, dx, dy),
        shape: moved,
      };
      const { tiles, inStrips } = tilesHeld(empty);
      const aside = Math.abs(i - wanted) + Math.abs(j - wanted);
      yield { tiling: { ...empty, tiles }, inStrips, aside };
    }
  }
}

/** Which tiles hold some of the piece, and how much of its lines lies near a join. */
function tilesHeld(tiling: Tiling): { tiles: Tile[]; inStrips: number } {
  const { size, columns, rows, shape } = tiling;
  const step = tileStep(size);
  const near = size.overlapMm / 2 + JOIN_ROOM_MM;
  const held = new Set<number>();
  let inStrips = 0;
  for (const [a, b] of edgesOf(shape)) {
    const steps = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / SAMPLE_MM));
    for (let i = 0; i <= steps; i++) {
      const across = tileAlong(a.x + ((b.x - a.x) * i) / steps, step.x, size.overlapMm, columns);
      const along = tileAlong(a.y + ((b.y - a.y) * i) / steps, step.y, size.overlapMm, rows);
      held.add(along.index * columns + across.index);
      if (across.toJoinMm < near || along.toJoinMm < near) inStrips++;
    }
  }
  const outlines = outlinesOf(shape, ['cut']);
  const tiles: Tile[] = [];
  for (let row = rows - 1; row >= 0; row--) {
    for (let column = 0; column < columns; column++) {
      // A tile without any line may still be the middle of the piece.
      const core = tileCore(tiling, { column, row });
      const centre = { x: core.x + core.widthMm / 2, y: core.y + core.heightMm / 2 };
      if (held.has(row * columns + column) || outlines.some((outline) => isInside(centre, outline))) {
        tiles.push({ column, row });
      }
    }
  }
  return { tiles, inStrips };
}

/** Which tile a coordinate belongs to, and how far it is from the nearest join. */
function tileAlong(
  at: number,
  stepMm: number,
  overlapMm: number,
  count: number,
): { index: number; toJoinMm: number } {
  const place = (at - overlapMm / 2) / stepMm;
  const index = Math.min(count - 1, Math.max(0, Math.floor(place)));
  const join = Math.min(count - 1, Math.max(1, Math.round(place)));
  return { index, toJoinMm: count > 1 ? Math.abs(place - join) * stepMm : Infinity };
}
