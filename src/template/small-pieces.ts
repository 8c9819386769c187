/** Pieces that fit on one sheet: the ways each may lie, with its label, ready for nesting. */
import { CellGrid } from './cell-grid.ts';
import { FreeRoom } from './free-room.ts';
import { type NestShape, nestShape, shapeAreaMm2 } from './nest.ts';
import { besideText, labelIn, leaderTo, middleOf, ROOM_CELL_MM, takeAllButFoam } from './piece-label.ts';
import { moveShape, type PieceShape, pieceShape } from './piece-shape.ts';
import { movePlacement, type Placement } from './placement.ts';
import type { Rect } from './rect.ts';
import type { PieceLabel } from './sheet-types.ts';
import type { TemplatePiece } from './template-input.ts';

/** A piece turned, its lower left corner (label included) at the origin. */
interface PieceTurn {
  readonly placement: Placement;
  readonly label: PieceLabel;
  readonly nest: NestShape;
}

export interface SmallPiece {
  /** Index in the template's pieces. */
  readonly piece: number;
  readonly turns: readonly PieceTurn[];
}

interface Area {
  readonly widthMm: number;
  readonly heightMm: number;
}

const SQUARE_TURNS = [0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2];
/** Tried where no square turn fits: a long piece may still fit corner to corner. */
const SKEW_TURNS = Array.from({ length: 180 }, (_, degrees) => (degrees * Math.PI) / 180);
const LABEL_APART_MM = 2;

/** The piece in every turn in which it fits on one sheet; undefined when it needs several. */
export function smallPiece(piece: TemplatePiece, index: number, area: Area): SmallPiece | undefined {
  let turns = SQUARE_TURNS.filter((turnRad) => fits(turned(piece, turnRad).shape, area));
  if (turns.length === 0) {
    const skew = SKEW_TURNS.find((turnRad) => fits(turned(piece, turnRad).shape, area));
    if (skew === undefined) return undefined;
    turns = [skew, skew + Math.PI];
  }
  return { piece: index, turns: turns.map((turnRad) => pieceTurn(piece, index, turnRad, area)) };
}

function turned(piece: TemplatePiece, turnRad: number): { placement: Placement; shape: PieceShape } {
  const placement = { turnRad, shift: { x: 0, y: 0 } };
  const shape = pieceShape(piece.lines, placement);
  const [dx, dy] = [-shape.bounds.minX, -shape.bounds.minY];
  return { placement: movePlacement(placement, dx, dy), shape: moveShape(shape, dx, dy) };
}

function fits({ bounds }: PieceShape, area: Area): boolean {
  return (
    bounds.maxX - bounds.minX <= area.widthMm + 1e-6 && bounds.maxY - bounds.minY <= area.heightMm + 1e-6
  );
}

function pieceTurn(piece: TemplatePiece, index: number, turnRad: number, area: Area): PieceTurn {
  const { placement, shape } = turned(piece, turnRad);
  const { maxX: widthMm, maxY: heightMm } = shape.bounds;
  const grid = new CellGrid(widthMm, heightMm, ROOM_CELL_MM);
  takeAllButFoam(grid, shape);
  const inside = labelIn(new FreeRoom(grid), piece, index, middleOf(shape));
  if (inside) return { placement, label: inside, nest: nestShape(shape, undefined, widthMm, heightMm) };
  return labelledBeside(piece, index, placement, shape, area);
}

/** Under the piece, or right of it, or (where neither fits on the sheet) over its own lines. */
function labelledBeside(
  piece: TemplatePiece,
  index: number,
  placement: Placement,
  shape: PieceShape,
  area: Area,
): PieceTurn {
  const { maxX, maxY } = shape.bounds;
  const text = besideText(piece, index + 1);
  const { widthMm, heightMm } = text;
  // The piece is lifted or the label set right so that their common lower left corner is the origin.
  const under = { lift: heightMm + LABEL_APART_MM, x: Math.max(0, (maxX - widthMm) / 2), y: 0 };
  const right = { lift: 0, x: maxX + LABEL_APART_MM, y: Math.max(0, (maxY - heightMm) / 2) };
  const over = { lift: 0, x: Math.max(0, (maxX - widthMm) / 2), y: Math.max(0, (maxY - heightMm) / 2) };
  const ways = [under, right, over].map(({ lift, x, y }) => {
    const box: Rect = { x, y, widthMm, heightMm };
    return { lift, box, wide: Math.max(maxX, x + widthMm), high: Math.max(maxY + lift, y + heightMm) };
  });
  const way = ways.find(({ wide, high }) => wide <= area.widthMm && high <= area.heightMm) ?? ways[2]!;
  const moved = moveShape(shape, 0, way.lift);
  return {
    placement: movePlacement(placement, 0, way.lift),
    label: {
      piece: index,
      lines: text.lines,
      sizeMm: text.sizeMm,
      upright: text.upright,
      box: way.box,
      leader: leaderTo(moved, way.box),
    },
    nest: nestShape(moved, way.box, Math.min(way.wide, area.widthMm), Math.min(way.high, area.heightMm)),
  };
}

/** Which of the square turns are tried: all, or only those that stand, or lie. */
const STANCES: readonly ((shape: NestShape) => boolean)[] = [
  () => true,
  ({ widthMm, heightMm }) => widthMm <= heightMm,
  ({ widthMm, heightMm }) => widthMm >= heightMm,
];

/** Ways to nest: orders of the pieces, and of their turns; the first that needs the fewest sheets is taken. */
export function* nestOrders(pieces: readonly SmallPiece[]): Generator<readonly SmallPiece[]> {
  const least = (measure: (turn: NestShape) => number) => (item: SmallPiece) =>
    Math.min(...item.turns.map((turn) => measure(turn.nest)));
  const measures = [
    least(shapeAreaMm2),
    least((shape) => shape.heightMm),
    least((shape) => Math.max(shape.widthMm, shape.heightMm)),
    least((shape) => shape.widthMm * shape.heightMm),
  ];
  for (const stance of STANCES) {
    const held = pieces.map((item) => {
      const turns = item.turns.filter((turn) => stance(turn.nest));
      return turns.length > 0 ? { ...item, turns } : item;
    });
    for (const measure of measures) {
      yield held.toSorted((a, b) => measure(b) - measure(a) || a.piece - b.piece);
    }
  }
}
