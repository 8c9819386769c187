/** What is written on a piece, and where: inside it as large as fits, else beside it. */
import { isInside } from '../geometry/measure.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { CellGrid } from './cell-grid.ts';
import type { FreeRoom } from './free-room.ts';
import { edgesOf, nearestOnEdge, outlinesOf, type PieceShape } from './piece-shape.ts';
import { printableText, textWidthMm, wrapText } from './printable-text.ts';
import { type Rect, rectCentre } from './rect.ts';
import type { PieceLabel } from './sheet-types.ts';
import { cutPhrase, foamPhrase, type TemplatePiece } from './template-input.ts';

/** Letter sizes tried, mm; the smallest is about 7 pt. */
const SIZES_MM = [4.2, 3.5, 3, 2.5] as const;
const BESIDE_SIZE_MM = 3;
export const LINE_HEIGHT = 1.3;
const WIDEST_MM = 75;
/** Clear paper between a label and the lines. */
const LINE_CLEARANCE_MM = 1.5;
/** Cells in which room for labels and check squares is looked for. */
export const ROOM_CELL_MM = 1;

export type LabelText = Pick<PieceLabel, 'lines' | 'sizeMm' | 'upright'> & {
  readonly widthMm: number;
  readonly heightMm: number;
};

/** The facts printed on a piece, from a block of lines to a single one. */
function linesets(piece: TemplatePiece, number: number): string[][] {
  const title = printableText(`${number} · ${piece.name}`);
  const cut = cutPhrase(piece);
  const foam = printableText(foamPhrase(piece));
  const [size, revision] = [printableText(piece.sizeLabel), printableText(piece.revisionLabel)];
  const join = (parts: readonly string[]): string => parts.filter((part) => part !== '').join(' · ');
  return [
    [title, cut, foam, size, revision],
    [title, join([cut, foam]), join([size, revision])],
    [join([title, cut, foam, size, revision])],
  ].map((lines) => lines.filter((line) => line !== ''));
}

function textBlock(lines: readonly string[], sizeMm: number, upright: boolean): LabelText {
  // Only a block is broken into more lines; a single line is meant for a narrow strip.
  const broken = lines.length > 1 ? lines.flatMap((line) => wrapText(line, sizeMm, WIDEST_MM)) : lines;
  const long = Math.max(...broken.map((line) => textWidthMm(line, sizeMm))) + 1;
  const high = broken.length * sizeMm * LINE_HEIGHT;
  return { lines: broken, sizeMm, upright, widthMm: upright ? high : long, heightMm: upright ? long : high };
}

/** A block of text for a label that lies beside its piece. */
export function besideText(piece: TemplatePiece, number: number): LabelText {
  return textBlock(linesets(piece, number)[0]!, BESIDE_SIZE_MM, false);
}

/** The largest label that fits into free room, as near as can be to a point. `index` counts from 0. */
export function labelIn(
  room: FreeRoom,
  piece: TemplatePiece,
  index: number,
  near: PlanePoint,
): PieceLabel | undefined {
  const sets = linesets(piece, index + 1);
  for (const sizeMm of SIZES_MM) {
    for (const lines of sets) {
      for (const upright of [false, true]) {
        const text = textBlock(lines, sizeMm, upright);
        const box = room.nearest(text.widthMm, text.heightMm, near);
        if (box) return { piece: index, lines: text.lines, sizeMm, box, upright };
      }
    }
  }
  return undefined;
}

/** Where a label may lie: on the piece's foam, clear of its lines. The shape's frame must be the grid's. */
export function takeAllButFoam(grid: CellGrid, shape: PieceShape): void {
  grid.takeOutside(shape);
  grid.takeLines(shape, LINE_CLEARANCE_MM);
}

/** A point well inside the piece where one is easily found: the middle of its outline's area, else of its bounds. */
export function middleOf(shape: PieceShape): PlanePoint {
  const { minX, minY, maxX, maxY } = shape.bounds;
  const outline = outlinesOf(shape, ['cut'])[0];
  const middle = { x: (minX + maxX) / 2, y: (minY + maxY) / 2 };
  if (!outline) return middle;
  const centroid = centroidOf(outline);
  return isInside(centroid, outline) ? centroid : middle;
}

function centroidOf(points: readonly PlanePoint[]): PlanePoint {
  let [twice, x, y] = [0, 0, 0];
  for (let i = 0, j = points.length - 1; i < points.length; j = i++) {
    const [a, b] = [points[j]!, points[i]!];
    const cross = a.x * b.y - b.x * a.y;
    twice += cross;
    x += (a.x + b.x) * cross;
    y += (a.y + b.y) * cross;
  }
  return { x: x / (3 * twice), y: y / (3 * twice) };
}

/** A line from the label's nearest edge to the nearest point of the piece's outline. */
export function leaderTo(shape: PieceShape, box: Rect): NonNullable<PieceLabel['leader']> {
  const centre = rectCentre(box);
  const outlines = shape.lines.filter(({ kind }) => kind === 'cut');
  let [to, nearest] = [centre, Infinity];
  for (const [a, b] of edgesOf({ ...shape, lines: outlines.length > 0 ? outlines : shape.lines })) {
    const point = nearestOnEdge(centre, a, b);
    const far = (point.x - centre.x) ** 2 + (point.y - centre.y) ** 2;
    if (far < nearest) [to, nearest] = [point, far];
  }
  const clamp = (value: number, low: number, high: number): number => Math.min(high, Math.max(low, value));
  return {
    from: { x: clamp(to.x, box.x, box.x + box.widthMm), y: clamp(to.y, box.y, box.y + box.heightMm) },
    to,
  };
}
