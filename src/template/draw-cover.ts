import { LINE_STYLES, type LineKind } from '../geometry/line-kinds.ts';
import { squarePair } from './check-squares.ts';
import { COVER, listHeightMm, listPages, mapHeightMm } from './cover-plan.ts';
import { DRAWING_ORDER, drawFooter, drawSquare, penOf } from './draw-sheet.ts';
import { drawPageMap } from './page-map.ts';
import type { PdfDrawing } from './pdf-drawing.ts';
import { printableText, wrapText } from './printable-text.ts';
import type { TemplateLayout } from './sheet-types.ts';
import { cutPhrase, foamPhrase, type TemplateInput } from './template-input.ts';

const TEXT_MM = 3.1;
const LINE_MM = 4.1;
const HEAD_MM = 4;
const SQUARES_WIDE_MM = 50 + 3 + 50.8;

/** From FACTS section 8; short, because a page of warnings is not read. */
const CAUTIONS = [
  'Knife: use a sharp blade and a cutting mat, and cut away from yourself.',
  'Contact cement: open windows and doors, keep flames and sparks away, wait until the vapour is gone.',
  'Heat gun: never near wet cement or solvent; the nozzle stays hot. Air the room: hot foam gives off fumes.',
  'A headpiece is costume, not protective equipment: it does not protect against blows or falls.',
  'Keep sight, hearing and breath free. Loosen a band that presses; take it off if your head aches.',
  'The labels of your products and your local rules come first.',
] as const;

/** The first pages: how to print and join, the lines used, the pieces, where they lie, cautions. */
export function drawCover(begin: () => PdfDrawing, input: TemplateInput, layout: TemplateLayout): void {
  const { frame } = layout;
  listPages(frame, input.pieces.length).forEach(({ first, count }, i) => {
    const drawing = begin();
    if (i === 0) {
      const listTop = drawHead(drawing, input, layout);
      const mapTop = count > 0 ? drawList(drawing, input, layout, listTop, first, count) : listTop;
      const mapHigh = mapHeightMm(frame, count);
      drawMap(drawing, input, layout, mapTop, mapHigh);
      drawCautions(drawing, frame.widthMm);
    } else {
      drawList(drawing, input, layout, frame.heightMm, first, count);
      for (const square of squarePair(0, 0, false)) drawSquare(drawing, square);
    }
    drawFooter(drawing, layout, i + 1, printableText(input.buildName));
    drawing.finish();
  });
}

/** Title, squares with the steps beside them, and legend; returns the height below them. */
function drawHead(drawing: PdfDrawing, input: TemplateInput, layout: TemplateLayout): number {
  const { widthMm, heightMm } = layout.frame;
  drawing.text(input.buildName, 0, heightMm - 7, { sizeMm: 7.5, widestMm: widthMm });
  const facts = [
    `${input.pieces.length} ${input.pieces.length === 1 ? 'piece' : 'pieces'}`,
    `${layout.pageCount} pages ${input.pageSetup.paper}`,
    input.date,
  ];
  drawing.text(facts.join(' · '), 0, heightMm - 13.5, { sizeMm: 3.6, widestMm: widthMm });
  const squaresTop = heightMm - COVER.titleMm;
  for (const square of squarePair(0, squaresTop - 50.8, false)) drawSquare(drawing, square);
  drawSteps(drawing, input, layout, squaresTop);
  drawLegend(drawing, input, widthMm, squaresTop - COVER.squaresMm);
  return squaresTop - COVER.squaresMm - COVER.legendMm;
}

function drawSteps(drawing: PdfDrawing, input: TemplateInput, layout: TemplateLayout, top: number): void {
  const x = SQUARES_WIDE_MM + 6;
  const widestMm = layout.frame.widthMm - x;
  let y = top - HEAD_MM * 0.8;
  drawing.text('Print, measure, join', x, y, { sizeMm: HEAD_MM });
  for (const step of stepsOf(input, layout)) {
    y -= 1.2;
    for (const line of wrapText(printableText(step), TEXT_MM, widestMm)) {
      y -= LINE_MM - 0.2;
      drawing.text(line, x, y, { sizeMm: TEXT_MM, widestMm });
    }
  }
}

function stepsOf(input: TemplateInput, layout: TemplateLayout): string[] {
  const scale = input.pageSetup.printerScale;
  const steps = [
    'Print at 100 %, never “fit to page”, and measure both squares with a ruler. If one is off, measure your printer with the card page first.',
  ];
  if (scale) {
    const percent = (value: number): string => `${(value * 100).toFixed(2)} %`;
    steps.push(
      `Drawn for a printer that prints ${percent(scale.across)} across and ${percent(scale.along)} along: on it the squares come out true.`,
    );
  }
  steps.push('Cut along the middle of the cut line.');
  if (layout.sheets.some((sheet) => sheet.joins.length > 0)) {
    steps.push(
      'Sheets that belong together: trim the right or lower one along its dashed line, lay it on its neighbour so that marks of the same name meet, and tape.',
    );
  }
  return steps;
}

function drawLegend(drawing: PdfDrawing, input: TemplateInput, widthMm: number, top: number): void {
  const used = DRAWING_ORDER.filter((kind) =>
    input.pieces.some(({ lines }) => lines.some((line) => line.kind === kind)),
  );
  drawing.text('Lines', 0, top - HEAD_MM * 0.8, { sizeMm: HEAD_MM });
  const perRow = Math.min(used.length, 4);
  const cell = (widthMm - 18) / Math.max(perRow, 1);
  used.toReversed().forEach((kind: LineKind, i) => {
    const x = 18 + (i % perRow) * cell;
    const y = top - 2.2 - Math.floor(i / perRow) * 5.5;
    drawing.line({ x, y }, { x: x + 18, y }, penOf(kind));
    drawing.text(LINE_STYLES[kind].label, x + 20, y - 1.1, { sizeMm: TEXT_MM });
  });
}

/** The list of pieces; returns the height below it. */
function drawList(
  drawing: PdfDrawing,
  input: TemplateInput,
  layout: TemplateLayout,
  top: number,
  first: number,
  count: number,
): number {
  const { widthMm } = layout.frame;
  const columns = [0, 0.04, 0.25, 0.38, 0.48, 0.59, 1].map((share) => share * widthMm);
  const row = (cells: readonly string[], y: number): void =>
    cells.forEach((cell, i) => {
      const widestMm = columns[i + 1]! - columns[i]! - 2;
      drawing.text(cell, columns[i]!, y, { sizeMm: TEXT_MM, widestMm });
    });
  drawing.text('Pieces', 0, top - HEAD_MM * 0.8, { sizeMm: HEAD_MM });
  let y = top - COVER.listHeadMm + 4;
  for (let i = first; i < first + count; i++) {
    const piece = input.pieces[i]!;
    y -= COVER.listRowMm;
    drawing.line({ x: 0, y: y + 3.9 }, { x: widthMm, y: y + 3.9 }, { widthMm: 0.1, color: '#b0b0b0' });
    const labels = [piece.sizeLabel, piece.revisionLabel].filter((label) => label !== '').join(' · ');
    row([String(i + 1), piece.name, cutPhrase(piece), foamPhrase(piece), sheetsOf(layout, i), labels], y);
  }
  return top - listHeightMm(count);
}

/** Names of the sheets that hold a piece, or the first and last of many. */
function sheetsOf(layout: TemplateLayout, piece: number): string {
  const names = layout.sheets
    .filter((sheet) => sheet.pieces.some((placed) => placed.piece === piece))
    .map(({ name }) => name);
  return names.length <= 4 ? names.join(' ') : `${names[0]} to ${names.at(-1)} (${names.length})`;
}

function drawMap(
  drawing: PdfDrawing,
  input: TemplateInput,
  layout: TemplateLayout,
  top: number,
  high: number,
): void {
  drawing.text('Sheets', 0, top - HEAD_MM * 0.8, { sizeMm: HEAD_MM });
  const head = HEAD_MM + 3;
  drawPageMap(drawing, input, layout, {
    x: 0,
    y: top - high + 2,
    widthMm: layout.frame.widthMm,
    heightMm: high - head - 2,
  });
}

function drawCautions(drawing: PdfDrawing, widthMm: number): void {
  const high = COVER.cautionsMm - 4;
  drawing.frame({ x: 0, y: 0, widthMm, heightMm: high }, { widthMm: 0.2 });
  drawing.text('Take care', 4, high - 6.5, { sizeMm: HEAD_MM });
  CAUTIONS.forEach((caution, i) => {
    drawing.text(caution, 4, high - 12 - i * LINE_MM, { sizeMm: TEXT_MM, widestMm: widthMm - 8 });
  });
}
