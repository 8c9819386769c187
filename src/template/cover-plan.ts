/** What the first pages hold, from the top down; the drawing follows this plan, and the page count too. */
import type { SheetFrame } from './paper.ts';

export const COVER = {
  titleMm: 19,
  /** Check squares with the steps beside them. */
  squaresMm: 56,
  legendMm: 15,
  cautionsMm: 40,
  listHeadMm: 9,
  listRowMm: 5,
  listFootMm: 2,
  /** A smaller page map would not be read. */
  leastMapMm: 75,
} as const;

const FIXED_MM = COVER.titleMm + COVER.squaresMm + COVER.legendMm + COVER.cautionsMm;

export function listHeightMm(rows: number): number {
  return COVER.listHeadMm + rows * COVER.listRowMm + COVER.listFootMm;
}

/** Which pieces (first index, count) are listed on each page before the sheets; the cover itself lists none when they are many. */
export function listPages(
  frame: SheetFrame,
  pieceCount: number,
): readonly { first: number; count: number }[] {
  const roomMm = frame.heightMm - FIXED_MM - COVER.leastMapMm;
  if (listHeightMm(pieceCount) <= roomMm) return [{ first: 0, count: pieceCount }];
  const perPage = Math.floor((frame.heightMm - COVER.squaresMm - COVER.listHeadMm) / COVER.listRowMm);
  const pages = [{ first: 0, count: 0 }];
  for (let first = 0; first < pieceCount; first += perPage) {
    pages.push({ first, count: Math.min(perPage, pieceCount - first) });
  }
  return pages;
}

export function coverPageCount(frame: SheetFrame, pieceCount: number): number {
  return listPages(frame, pieceCount).length;
}

/** Height left for the page map on the cover, mm. */
export function mapHeightMm(frame: SheetFrame, listedRows: number): number {
  return frame.heightMm - FIXED_MM - (listedRows > 0 ? listHeightMm(listedRows) : 0);
}
