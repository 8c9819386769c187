/** Joins between the sheets of a tiled piece, and the marks by which one sheet is laid on the other. */
import type { PlanePoint } from '../geometry/point.ts';
import type { CellGrid } from './cell-grid.ts';
import { edgesOf, type PieceShape } from './piece-shape.ts';
import { growRect, type Rect } from './rect.ts';
import type { Join } from './sheet-types.ts';
import { type Tile, tileCore, tileStep, type Tiling } from './tiling.ts';

/** Radius of a registration mark's ring; its cross reaches further. */
export const MARK_RING_MM = 3;
export const MARK_CROSS_MM = 4.5;
export const MARK_TEXT_MM = 2.4;
interface Room {
  /** Half the length wanted along the join, mm. */
  readonly along: number;
  /** Half the width wanted across it, mm. */
  readonly across: number;
}
/** Room for a mark with its name: beside the ring on an upright join, over or under it on a level one. */
const MARK_ROOM = { upright: { along: 6, across: 21 }, level: { along: 10, across: 9 } } as const;
const WORDS_ROOM: Room = { along: 15, across: 5 };
const STEP_MM = 3;

/** A join's two ends: `sheet` indices are places in the tiling's tiles. */
interface JoinedTiles {
  readonly first: number;
  readonly second: number;
  readonly upright: boolean;
}

function joinedTiles(tiles: readonly Tile[]): JoinedTiles[] {
  const at = (column: number, row: number): number =>
    tiles.findIndex((tile) => tile.column === column && tile.row === row);
  return tiles.flatMap(({ column, row }, first) => {
    const [right, below] = [at(column + 1, row), at(column, row - 1)];
    const joins: JoinedTiles[] = [];
    if (right >= 0) joins.push({ first, second: right, upright: true });
    if (below >= 0) joins.push({ first, second: below, upright: false });
    return joins;
  });
}

/**
 * The joins of every tile, in the tiling's order; coordinates in each tile's own sheet frame. `shape` is all that
 * lies on the tiles.
 */
export function joinsOf(
  tiling: Tiling,
  shape: PieceShape,
  names: readonly string[],
): readonly (readonly Join[])[] {
  const joins: Join[][] = tiling.tiles.map(() => []);
  for (const joined of joinedTiles(tiling.tiles)) {
    const { first, second, upright } = joined;
    const core = tileCore(tiling, tiling.tiles[first]!);
    const line = joinLine(core, upright);
    const spots = new ClearSpots(shape, line);
    const room = upright ? MARK_ROOM.upright : MARK_ROOM.level;
    const targets = [1 / 6, 5 / 6].map((share) => spots.near(share, room));
    const marks = targets.map((at, i) => ({ name: `${names[first]}|${names[second]} · ${i + 1}`, at }));
    const words = spots.near(0.5, WORDS_ROOM);
    for (const [own, other, side] of [
      [first, second, upright ? 'right' : 'bottom'],
      [second, first, upright ? 'left' : 'top'],
    ] as const) {
      const toSheet = sheetMover(tiling, tiling.tiles[own]!);
      joins[own]!.push({
        neighbour: names[other]!,
        side,
        from: toSheet(line.from),
        to: toSheet(line.to),
        marks: marks.map(({ name, at }) => ({ name, at: toSheet(at) })),
        trimmed: own === second,
        wordsAt: toSheet(words),
      });
    }
  }
  return joins;
}

/** The core's right edge, bottom to top, or its lower edge, left to right. */
function joinLine(core: Rect, upright: boolean): { from: PlanePoint; to: PlanePoint } {
  const corner = { x: upright ? core.x + core.widthMm : core.x, y: core.y };
  const to = upright ? { x: corner.x, y: core.y + core.heightMm } : { x: core.x + core.widthMm, y: core.y };
  return { from: corner, to };
}

function sheetMover({ size }: Tiling, { column, row }: Tile): (point: PlanePoint) => PlanePoint {
  const step = tileStep(size);
  return ({ x, y }) => ({ x: x - column * step.x, y: y - row * step.y });
}

/** Finds places along a join that the piece's lines leave clear. */
class ClearSpots {
  readonly #lengthMm: number;
  /** Points of the piece's lines near the join: along it and across it, mm. */
  readonly #lines: (readonly [number, number])[] = [];
  /** Spots given out before. */
  readonly #used: { readonly along: number; readonly reach: number }[] = [];

  constructor(
    shape: PieceShape,
    readonly line: { readonly from: PlanePoint; readonly to: PlanePoint },
  ) {
    const { from, to } = line;
    this.#lengthMm = Math.hypot(to.x - from.x, to.y - from.y);
    const [ux, uy] = [(to.x - from.x) / this.#lengthMm, (to.y - from.y) / this.#lengthMm];
    for (const [a, b] of edgesOf(shape)) {
      const steps = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y)));
      for (let i = 0; i < steps; i++) {
        const [x, y] = [a.x + ((b.x - a.x) * i) / steps - from.x, a.y + ((b.y - a.y) * i) / steps - from.y];
        const across = Math.abs(y * ux - x * uy);
        if (across <= MARK_ROOM.upright.across) this.#lines.push([x * ux + y * uy, across]);
      }
    }
  }

  /** The clear place nearest to a share of the join's length; the place itself when none is clear. */
  near(share: number, room: Room): PlanePoint {
    const target = share * this.#lengthMm;
    const [first, last] = [room.along, this.#lengthMm - room.along];
    let [best, least] = [target, Infinity];
    for (let along = first; along <= last; along += STEP_MM) {
      const crossed = this.#lines.filter(
        ([at, across]) => Math.abs(at - along) < room.along && across < room.across,
      ).length;
      const onAnother = this.#used.some((used) => Math.abs(used.along - along) < room.along + used.reach);
      // Marks far apart tell the turn best, so a place nearer the middle must be clear to be worth it.
      const cost = (onAnother ? 1e6 : 0) + crossed * 50 + Math.abs(along - target);
      if (cost < least) [best, least] = [along, cost];
    }
    this.#used.push({ along: best, reach: room.along });
    const { from, to } = this.line;
    const part = best / this.#lengthMm;
    return { x: from.x + (to.x - from.x) * part, y: from.y + (to.y - from.y) * part };
  }
}

/** Takes the room of the joins' lines, marks, names and words on their sheet. */
export function takeJoins(grid: CellGrid, joins: readonly Join[]): void {
  for (const join of joins) {
    for (const box of joinBoxes(join)) grid.takeRect(box);
    const [x, y] = [Math.min(join.from.x, join.to.x), Math.min(join.from.y, join.to.y)];
    const [widthMm, heightMm] = [Math.abs(join.to.x - join.from.x), Math.abs(join.to.y - join.from.y)];
    grid.takeRect(growRect({ x, y, widthMm, heightMm }, 1));
  }
}

/** The room that a join's marks, names and words take on their own sheet's side, mm. */
function joinBoxes(join: Join): Rect[] {
  const upright = join.side === 'left' || join.side === 'right';
  const boxAt = ({ x, y }: PlanePoint, { along, across }: Room): Rect =>
    upright
      ? { x: x - across, y: y - along, widthMm: 2 * across, heightMm: 2 * along }
      : { x: x - along, y: y - across, widthMm: 2 * along, heightMm: 2 * across };
  const room = upright ? MARK_ROOM.upright : MARK_ROOM.level;
  return [...join.marks.map(({ at }) => boxAt(at, room)), boxAt(join.wordsAt, WORDS_ROOM)];
}
