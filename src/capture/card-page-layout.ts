/** Where the scale cards stand on their printed page: the page's drawing and the printer's check share it. */
import type { PlanePoint } from '../geometry/point.ts';
import { CARD_SIDE_MM } from './card.ts';

const COLUMNS = 2;
const ROWS = 3;
export const CARDS_PER_PAGE = COLUMNS * ROWS;
/** Columns and rows of the block of cards, as cut lines bound them. */
export const CARD_COLUMNS = COLUMNS;
export const CARD_ROWS = ROWS;
/** The block of cards, the same on every paper size. */
export const CARDS_WIDTH_MM = COLUMNS * CARD_SIDE_MM;
export const CARDS_HEIGHT_MM = ROWS * CARD_SIDE_MM;

/**
 * Centre of the page's `i`-th card, mm as printed at 100 %, from the block's lower left corner, x right and y up
 * the page: left to right, the top row first. All cards stand upright.
 */
export function cardCentreOnPage(i: number): PlanePoint {
  const [column, row] = [i % COLUMNS, Math.floor(i / COLUMNS)];
  return { x: (column + 0.5) * CARD_SIDE_MM, y: CARDS_HEIGHT_MM - (row + 0.5) * CARD_SIDE_MM };
}
