import { LINE_STYLES, type LineKind } from '../geometry/line-kinds.ts';
import { mapPath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { MARK_CROSS_MM, MARK_RING_MM, MARK_TEXT_MM } from './joins.ts';
import { FOOTER_MM, type SheetFrame } from './paper.ts';
import type { PageFrame, PdfDrawing, Pen } from './pdf-drawing.ts';
import { LINE_HEIGHT } from './piece-label.ts';
import { type Placement, placer } from './placement.ts';
import { printableText, textWidthMm } from './printable-text.ts';
import type { Rect } from './rect.ts';
import { circlePath } from './shapes.ts';
import type { CheckSquare, Join, PieceLabel, TemplateLayout, TemplateSheet } from './sheet-types.ts';
import type { TemplateInput, TemplateLine } from './template-input.ts';

const GREY = '#6a6a6a';
const SQUARE_PEN: Pen = { widthMm: 0.2 };
const CROSSED_SQUARE_PEN: Pen = { widthMm: 0.12, color: '#9a9a9a' };
const JOIN_PEN: Pen = { widthMm: 0.2, color: GREY, dashMm: [4, 2] };
const MARK_PEN: Pen = { widthMm: 0.2 };
const LEADER_PEN: Pen = { widthMm: 0.15, color: GREY };
const SMALL_MM = 2.8;
const FOOTER_TEXT_MM = 3.2;

/** Drawn in this order, so that the cut line lies on top. */
export const DRAWING_ORDER: readonly LineKind[] = [
  'wrap',
  'placement',
  'fold',
  'score',
  'mark',
  'cutout',
  'cut',
];

/** The page frame of every sheet: the drawing is divided by the printer's scale. */
export function pageFrameOf({ originOnPage, printerScale }: SheetFrame): PageFrame {
  return { ...originOnPage, scaleX: 1 / printerScale.across, scaleY: 1 / printerScale.along };
}

/** One sheet of the pattern. */
export function drawSheet(
  drawing: PdfDrawing,
  input: TemplateInput,
  layout: TemplateLayout,
  sheet: TemplateSheet,
): void {
  const { widthMm, heightMm } = layout.frame;
  for (const square of sheet.squares) drawSquare(drawing, square);
  for (const join of sheet.joins) drawJoin(drawing, sheet.name, join);
  const area: Rect = { x: 0, y: 0, widthMm, heightMm };
  drawing.clipped(area, () => {
    for (const { piece, placement } of sheet.pieces)
      drawLines(drawing, input.pieces[piece]!.lines, placement);
  });
  for (const label of sheet.labels) drawLabel(drawing, label);
  drawFooter(drawing, layout, sheet.pageNumber, sheetWords(input, sheet, widthMm - 75), sheet.name);
}

/** The names of the pieces on the sheet, or their numbers alone where the names are too long for one line. */
function sheetWords(input: TemplateInput, sheet: TemplateSheet, widestMm: number): string {
  const indices = sheet.pieces.map(({ piece }) => piece).toSorted((a, b) => a - b);
  const names = indices.map((piece) => `${piece + 1}: ${input.pieces[piece]!.name}`).join(' · ');
  if (textWidthMm(printableText(names), FOOTER_TEXT_MM) <= widestMm) return names;
  return `pieces ${indices.map((piece) => piece + 1).join(', ')}`;
}

export function penOf(kind: LineKind): Pen {
  const { widthMm, color, dashMm } = LINE_STYLES[kind];
  return { widthMm, color, dashMm };
}

function drawLines(drawing: PdfDrawing, lines: readonly TemplateLine[], placement: Placement): void {
  const place = placer(placement);
  for (const kind of DRAWING_ORDER) {
    const drawn = lines.filter((line) => line.kind === kind && !line.words);
    const plain = drawn.filter(({ dashMm }) => !dashMm);
    drawing.stroke(
      plain.map((line) => mapPath(line.path, place)),
      penOf(kind),
    );
    for (const { path, dashMm } of drawn) {
      if (dashMm) drawing.stroke([mapPath(path, place)], { ...penOf(kind), dashMm });
    }
  }
  for (const { path, words } of lines) {
    const end = path.segments[0]?.to;
    if (!words || !end) continue;
    const [from, to] = [place(path.start), place(end)];
    const turnRad = Math.atan2(to.y - from.y, to.x - from.x);
    drawing.text(words.text, from.x, from.y, { sizeMm: words.sizeMm, turnRad });
  }
}

function drawLabel(drawing: PdfDrawing, { lines, sizeMm, box, upright, leader }: PieceLabel): void {
  if (leader) drawing.line(leader.from, leader.to, LEADER_PEN);
  const middle = { x: box.x + box.widthMm / 2, y: box.y + box.heightMm / 2 };
  const widestMm = upright ? box.heightMm : box.widthMm;
  const step = sizeMm * LINE_HEIGHT;
  lines.forEach((line, i) => {
    // Baselines count down from the middle; a capital is about 0.7 of the letter size high.
    const down = (i - (lines.length - 1) / 2) * step + sizeMm * 0.35;
    if (upright) {
      drawing.text(line, middle.x + down, middle.y, {
        sizeMm,
        align: 'middle',
        turnRad: Math.PI / 2,
        widestMm,
      });
    } else drawing.text(line, middle.x, middle.y - down, { sizeMm, align: 'middle', widestMm });
  });
}

/** A check square: its side holds between the middles of its lines. */
export function drawSquare(drawing: PdfDrawing, { label, box, clear }: CheckSquare): void {
  drawing.frame(box, clear ? SQUARE_PEN : CROSSED_SQUARE_PEN);
  const color = clear ? '#000000' : '#9a9a9a';
  drawing.text(label, box.x + 2, box.y + box.heightMm - 4.6, { sizeMm: 3.4, color });
  drawing.text('check square', box.x + 2, box.y + box.heightMm - 8.6, { sizeMm: SMALL_MM, color });
}

function drawJoin(drawing: PdfDrawing, own: string, join: Join): void {
  drawing.line(join.from, join.to, JOIN_PEN);
  for (const { name, at } of join.marks) drawMark(drawing, name, at, join.side);
  const words = join.trimmed
    ? `trim ${own} here, lay it on ${join.neighbour}`
    : `${join.neighbour} lies up to this line`;
  const inward = INWARD[join.side];
  const upright = inward.x !== 0;
  // Beside the line on the sheet's own side, clear of the line by about a millimetre.
  const textDown = inward.x > 0 || inward.y < 0;
  const off = textDown ? 1.2 + MARK_TEXT_MM * 0.72 : 1.2;
  drawing.text(words, join.wordsAt.x + inward.x * off, join.wordsAt.y + inward.y * off, {
    sizeMm: MARK_TEXT_MM,
    color: GREY,
    align: 'middle',
    turnRad: upright ? Math.PI / 2 : 0,
  });
}

/** From a join towards the middle of the sheet. */
const INWARD: Readonly<Record<Join['side'], PlanePoint>> = {
  left: { x: 1, y: 0 },
  right: { x: -1, y: 0 },
  top: { x: 0, y: -1 },
  bottom: { x: 0, y: 1 },
};

/** A ring with a cross; its name lies on the sheet's own side, so that both names show when the sheets are joined. */
function drawMark(drawing: PdfDrawing, name: string, at: PlanePoint, side: Join['side']): void {
  const { x, y } = at;
  drawing.line({ x: x - MARK_CROSS_MM, y }, { x: x + MARK_CROSS_MM, y }, MARK_PEN);
  drawing.line({ x, y: y - MARK_CROSS_MM }, { x, y: y + MARK_CROSS_MM }, MARK_PEN);
  drawing.stroke([circlePath(at, MARK_RING_MM)], MARK_PEN);
  const inward = INWARD[side];
  const reach = MARK_CROSS_MM + 1;
  const style = { sizeMm: MARK_TEXT_MM };
  const baseline = MARK_TEXT_MM * 0.35;
  if (inward.x !== 0) {
    drawing.text(name, x + inward.x * reach, y - baseline, {
      ...style,
      align: inward.x > 0 ? 'left' : 'right',
    });
  } else {
    const off = inward.y > 0 ? reach : -reach - MARK_TEXT_MM * 0.7;
    drawing.text(name, x, y + off, { ...style, align: 'middle' });
  }
}

/** The line of words at the foot of every page: what it is, and how to print it. */
export function drawFooter(
  drawing: PdfDrawing,
  layout: TemplateLayout,
  pageNumber: number,
  words: string,
  sheetName = '',
): void {
  const { widthMm } = layout.frame;
  const y = -FOOTER_MM + 1.8;
  const right = `page ${pageNumber} of ${layout.pageCount} · print at 100 %`;
  const rightWide = drawing.textWidthMm(right, SMALL_MM);
  drawing.line({ x: 0, y: y + 5.4 }, { x: widthMm, y: y + 5.4 }, { widthMm: 0.1, color: GREY });
  // Begins right of the strip that is trimmed off, so that the sheet's name stays on it.
  const left = 8;
  drawing.text(sheetName, left, y, { sizeMm: 5.6 });
  const wordsAt = sheetName ? left + drawing.textWidthMm(sheetName, 5.6) + 4 : left;
  drawing.text(words, wordsAt, y, { sizeMm: FOOTER_TEXT_MM, widestMm: widthMm - rightWide - wordsAt - 8 });
  drawing.text(right, widthMm - 2, y, { sizeMm: SMALL_MM, align: 'right' });
}
