import {
  BAR_ACROSS_MM,
  BAR_ALONG_MM,
  CARD_COUNT,
  CARD_SIDE_MM,
  MARK_CENTRES,
  MARK_RADIUS_MM,
} from '../capture/card.ts';
import {
  CARD_COLUMNS,
  CARD_ROWS,
  CARDS_HEIGHT_MM,
  CARDS_PER_PAGE,
  CARDS_WIDTH_MM,
  cardCentreOnPage,
} from '../capture/card-page-layout.ts';
import { mapPath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { markerOutline } from './marker-outline.ts';
import { PAPER_SIZES, type PaperName, type PaperSize } from './paper.ts';
import type { PdfDrawing } from './pdf-drawing.ts';
import { PdfFile } from './pdf-file.ts';
import { quarterDisc } from './shapes.ts';

/** What printers leave unprinted: up to 4 mm by one maker's guarantee (FACTS section 6), 6 mm to be safe. */
const LEAST_MARGIN_MM = 6.5;
/** Above the cards: the bar across and three lines of text. */
const HEAD_MM = 25;
/** Right of the cards: the bar along. */
const SIDE_MM = 16;

const CUT_PEN = { widthMm: 0.15, color: '#8a8a8a' };
const BAR_PEN = { widthMm: 0.2 };
const BAR_TICK_MM = 3;

const INSTRUCTIONS = [
  'Print at 100 %, never “fit to page”. Measure both bars with a ruler, end line to end line, and enter the two lengths.',
  'Cut along the grey lines. Use stiff paper, or see that the cards lie quite flat on the table: a curled card measures wrong.',
  'Scatter 4 to 6 cards around the piece, none of them on it, and turn at least one of them by a quarter turn.',
] as const;
const TEXT_MM = 3.2;
const LINE_MM = 4.6;

/**
 * The pages of scale cards, six to a page, ids 0..5 and 6..11, with the two check bars (150 mm across the page, 200 mm
 * along it), in true mm at a print scale of 100 %. The card is described in src/capture/card.ts.
 */
export async function scaleCardPages(paper: 'A4' | 'Letter'): Promise<Uint8Array> {
  const file = await PdfFile.begin('Scale cards');
  const size = PAPER_SIZES[paper satisfies PaperName];
  const corner = cardsCorner(size);
  for (let first = 0; first < CARD_COUNT; first += CARDS_PER_PAGE) {
    const drawing = file.page(size, { ...corner, scaleX: 1, scaleY: 1 });
    drawHead(drawing, size.widthMm - corner.x - LEAST_MARGIN_MM);
    drawSide(drawing, `Scale cards ${first} to ${first + CARDS_PER_PAGE - 1}`);
    drawCutLines(drawing);
    for (let i = 0; i < CARDS_PER_PAGE; i++) drawCard(drawing, first + i, cardCentreOnPage(i));
    drawing.finish();
  }
  return file.bytes();
}

/** Lower left corner of the block of cards, so that block, head and side stand in the middle of the page. */
function cardsCorner({ widthMm, heightMm }: PaperSize): PlanePoint {
  return {
    x: (widthMm - CARDS_WIDTH_MM - SIDE_MM) / 2,
    y: Math.max(LEAST_MARGIN_MM, (heightMm - CARDS_HEIGHT_MM - HEAD_MM) / 2),
  };
}

function drawHead(drawing: PdfDrawing, widestMm: number): void {
  const barY = CARDS_HEIGHT_MM + BAR_TICK_MM + 2;
  drawBar(drawing, { x: 0, y: barY }, { x: BAR_ACROSS_MM, y: barY });
  drawing.text(`across: ${BAR_ACROSS_MM} mm`, BAR_ACROSS_MM + 3, barY - 1.1, { sizeMm: TEXT_MM });
  INSTRUCTIONS.forEach((line, i) => {
    const y = CARDS_HEIGHT_MM + HEAD_MM - TEXT_MM - i * LINE_MM;
    drawing.text(line, 0, y, { sizeMm: TEXT_MM, widestMm });
  });
}

function drawSide(drawing: PdfDrawing, title: string): void {
  const x = CARDS_WIDTH_MM + SIDE_MM / 2;
  const y = (CARDS_HEIGHT_MM - BAR_ALONG_MM) / 2;
  drawBar(drawing, { x, y }, { x, y: y + BAR_ALONG_MM });
  const turned = { sizeMm: TEXT_MM, turnRad: Math.PI / 2 };
  drawing.text(`along: ${BAR_ALONG_MM} mm`, x + 5, CARDS_HEIGHT_MM / 2, { ...turned, align: 'middle' });
  drawing.text(title, x + 5, y + 6, turned);
}

/** A line with an end line across each end; the length holds between the middles of the end lines. */
function drawBar(drawing: PdfDrawing, from: PlanePoint, to: PlanePoint): void {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [nx, ny] = [(BAR_TICK_MM * (from.y - to.y)) / length, (BAR_TICK_MM * (to.x - from.x)) / length];
  drawing.line(from, to, BAR_PEN);
  for (const { x, y } of [from, to])
    drawing.line({ x: x - nx, y: y - ny }, { x: x + nx, y: y + ny }, BAR_PEN);
}

function drawCutLines(drawing: PdfDrawing): void {
  for (let column = 0; column <= CARD_COLUMNS; column++) {
    const x = column * CARD_SIDE_MM;
    drawing.line({ x, y: 0 }, { x, y: CARDS_HEIGHT_MM }, CUT_PEN);
  }
  for (let row = 0; row <= CARD_ROWS; row++) {
    const y = row * CARD_SIDE_MM;
    drawing.line({ x: 0, y }, { x: CARDS_WIDTH_MM, y }, CUT_PEN);
  }
}

function drawCard(drawing: PdfDrawing, id: number, centre: PlanePoint): void {
  const onCard = ({ x, y }: PlanePoint): PlanePoint => ({ x: centre.x + x, y: centre.y + y });
  drawing.fillPaths(markerOutline(id).map((path) => mapPath(path, onCard)));
  for (const mark of MARK_CENTRES) {
    for (const quarter of [0, 2]) drawing.fillPaths([quarterDisc(onCard(mark), MARK_RADIUS_MM, quarter)]);
  }
  drawUpArrow(drawing, onCard({ x: -2.5, y: 30.8 }), 4.4);
  const { x, y } = onCard({ x: 0.6, y: 31.4 });
  drawing.text(String(id), x, y, { sizeMm: 4.2 });
}

function drawUpArrow(drawing: PdfDrawing, foot: PlanePoint, height: number): void {
  const tip = { x: foot.x, y: foot.y + height };
  const pen = { widthMm: 0.35 };
  drawing.line(foot, tip, pen);
  for (const side of [-1, 1]) drawing.line({ x: tip.x + side * 1.3, y: tip.y - 1.6 }, tip, pen);
}
