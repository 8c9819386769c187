/**
 * The scale card, as printed at 100 %: all in mm in the card's own frame, origin at its centre, x right and
 * y up when the card stands upright. The printed pages, the finder and the tests share this one description.
 */
import type { PlanePoint } from '../geometry/point.ts';

/** The white card is a square of this side. */
export const CARD_SIDE_MM = 80;
/** Black side of the square marker, its border included. */
export const SQUARE_SIDE_MM = 50;
/** The marker is 8 x 8 cells with its border of one black cell. */
export const MARKER_CELLS = 8;
/** Hourglass marks meet at (±33, ±33) and fill two quarter discs of this radius, where dx*dy > 0. */
export const MARK_OFFSET_MM = 33;
export const MARK_RADIUS_MM = 5;
/** Nominal lengths of the check bars on the card page. */
export const BAR_ACROSS_MM = 150;
export const BAR_ALONG_MM = 200;

/**
 * The table is z = 0. A card's printed face lies this far above it: a sheet of 0.1 mm that never lies quite
 * flat. A piece's top face lies at z = its thickness.
 */
export const CARD_FACE_HEIGHT_MM = 0.15;

/** Thickness of a piece until the maker says otherwise: one sheet of office paper (80 g/m2 is about 0.1 mm; common practice, no source). */
export const PAPER_THICKNESS_MM = 0.1;

/** Top left, top right, bottom right, bottom left at ±half. */
function squareOf(half: number): readonly [PlanePoint, PlanePoint, PlanePoint, PlanePoint] {
  return [
    { x: -half, y: half },
    { x: half, y: half },
    { x: half, y: -half },
    { x: -half, y: -half },
  ];
}

export const CARD_CORNERS = squareOf(CARD_SIDE_MM / 2);
export const SQUARE_CORNERS = squareOf(SQUARE_SIDE_MM / 2);
/** Where the hourglass marks 0..3 meet. */
export const MARK_CENTRES = squareOf(MARK_OFFSET_MM);

/**
 * Codes of the ids 0..11 of the published dictionary ARUCO_MIP_36h12 (Garrido-Jurado et al., "Generation of
 * fiducial marker dictionaries using mixed integer linear programming", Pattern Recognition 51, 2016):
 * 6 x 6 bits row by row from the top left, 1 = white, as nine hexadecimal digits.
 */
const CODES = [
  'd2b63a09d',
  '6001134e5',
  '1206fbe72',
  'ff8ad6cb4',
  '85da9bc49',
  'b461afe9c',
  '6db51fe13',
  '5248c541f',
  '008f34503',
  '8ea462ece',
  'eac2be76d',
  '1af615c44',
] as const;

/** Cards have the ids 0 .. CARD_COUNT - 1. */
export const CARD_COUNT = CODES.length;

/** The marker's cells, top row first, `true` = white. The border cells are black. Throws for an id that no card has. */
export function markerCells(id: number): readonly (readonly boolean[])[] {
  const code = CODES[id];
  if (code === undefined) throw new Error(`no card has the id ${id}`);
  const bits = Array.from(code, (digit) => Number.parseInt(digit, 16).toString(2).padStart(4, '0')).join('');
  const inner = MARKER_CELLS - 2;
  return Array.from({ length: MARKER_CELLS }, (_, row) =>
    Array.from({ length: MARKER_CELLS }, (_, column) => {
      const isBorder = row % (MARKER_CELLS - 1) === 0 || column % (MARKER_CELLS - 1) === 0;
      return !isBorder && bits[(row - 1) * inner + column - 1] === '1';
    }),
  );
}
