/**
 * The face of our scale card as printed (DESIGN section 5), written down a second time on purpose: the simulator
 * must not share the engine's own drawing. Card upright, x right, y up, mm from the centre.
 */
export const CARD_SIZE_MM = 80;
export const SQUARE_SIZE_MM = 50;
export const HOURGLASS_OFFSET_MM = 33;
const HOURGLASS_RADIUS_MM = 5;
const CELL_MM = SQUARE_SIZE_MM / 8;

/** Codes of ids 0-11 in the published dictionary ARUCO_MIP_36h12 (6 x 6 bits, first row first, 1 = white). */
const CODES = [
  '0xd2b63a09d',
  '0x6001134e5',
  '0x1206fbe72',
  '0xff8ad6cb4',
  '0x85da9bc49',
  '0xb461afe9c',
  '0x6db51fe13',
  '0x5248c541f',
  '0x8f34503',
  '0x8ea462ece',
  '0xeac2be76d',
  '0x1af615c44',
];

/** Black cells of a card's square: 8 x 8, row 0 at the top, black border. */
export function blackCells(id: number): Uint8Array {
  const code = CODES[id];
  if (code === undefined) throw new Error(`No card has the id ${id}.`);
  const bits = BigInt(code).toString(2).padStart(36, '0');
  return Uint8Array.from({ length: 64 }, (_, i) => {
    const [row, column] = [Math.floor(i / 8), i % 8];
    const inner = row > 0 && row < 7 && column > 0 && column < 7;
    return inner && bits[(row - 1) * 6 + (column - 1)] === '1' ? 0 : 1;
  });
}

/** Signed distance to the nearest ink edge, mm, negative in ink. Exact within a cell's width of the edge. */
export type FaceField = (x: number, y: number) => number;

function squareField(cells: Uint8Array): FaceField {
  const isBlack = (column: number, row: number): boolean =>
    column >= 0 && row >= 0 && column < 8 && row < 8 && cells[row * 8 + column] === 1;
  return (x, y) => {
    const fx = (x + SQUARE_SIZE_MM / 2) / CELL_MM;
    const fy = (SQUARE_SIZE_MM / 2 - y) / CELL_MM;
    const column = Math.floor(fx);
    const row = Math.floor(fy);
    const black = isBlack(column, row);
    // Distances to the four sides of the cell, in cells.
    const left = fx - column;
    const top = fy - row;
    let best = 1;
    for (let dr = -1; dr <= 1; dr++) {
      for (let dc = -1; dc <= 1; dc++) {
        if ((dr === 0 && dc === 0) || isBlack(column + dc, row + dr) === black) continue;
        const dx = dc < 0 ? left : dc > 0 ? 1 - left : 0;
        const dy = dr < 0 ? top : dr > 0 ? 1 - top : 0;
        const d = Math.hypot(dx, dy);
        if (d < best) best = d;
      }
    }
    return (black ? -best : best) * CELL_MM;
  };
}

/** Two quarter discs meeting in a point: filled where dx * dy > 0. */
function hourglassField(dx: number, dy: number): number {
  const ax = Math.abs(dx);
  const ay = Math.abs(dy);
  const r = Math.hypot(ax, ay);
  if (dx * dy > 0) {
    return r < HOURGLASS_RADIUS_MM ? -Math.min(HOURGLASS_RADIUS_MM - r, ax, ay) : r - HOURGLASS_RADIUS_MM;
  }
  const beyond = (along: number, across: number): number =>
    along <= HOURGLASS_RADIUS_MM ? across : Math.hypot(across, along - HOURGLASS_RADIUS_MM);
  return Math.min(beyond(ay, ax), beyond(ax, ay));
}

type Stroke = readonly [number, number, number, number];

/** Seven-segment strokes of a figure, 2.4 x 4.4 mm, lower left at the origin. */
const SEGMENTS: readonly Stroke[] = [
  [0, 4.4, 2.4, 4.4],
  [2.4, 2.2, 2.4, 4.4],
  [2.4, 0, 2.4, 2.2],
  [0, 0, 2.4, 0],
  [0, 0, 0, 2.2],
  [0, 2.2, 0, 4.4],
  [0, 2.2, 2.4, 2.2],
];
const LIT = ['012345', '12', '01346', '01236', '1256', '02356', '023456', '012', '0123456', '012356'];

function glyphStrokes(id: number): Stroke[] {
  // The arrow that shows which way was up on the page.
  const strokes: Stroke[] = [
    [-3, 30.5, -3, 35],
    [-4.2, 33.6, -3, 35],
    [-1.8, 33.6, -3, 35],
  ];
  Array.from(String(id)).forEach((figure, place) => {
    for (const lit of LIT[Number(figure)]!) {
      const [x0, y0, x1, y1] = SEGMENTS[Number(lit)]!;
      const shift = 0.5 + place * 4;
      strokes.push([x0 + shift, y0 + 30.6, x1 + shift, y1 + 30.6]);
    }
  });
  return strokes;
}

function strokeField(strokes: readonly Stroke[], halfWidthMm: number): FaceField {
  return (x, y) => {
    let best = Infinity;
    for (const [ax, ay, bx, by] of strokes) {
      const [ex, ey] = [bx - ax, by - ay];
      const t = Math.min(1, Math.max(0, ((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey)));
      best = Math.min(best, Math.hypot(ax + t * ex - x, ay + t * ey - y));
    }
    return best - halfWidthMm;
  };
}

/** Signed distance to ink on the face of the card with this id. */
export function cardFace(id: number): FaceField {
  const square = squareField(blackCells(id));
  const glyphs = strokeField(glyphStrokes(id), 0.25);
  const half = SQUARE_SIZE_MM / 2 + 1;
  const away = HOURGLASS_OFFSET_MM - HOURGLASS_RADIUS_MM - 1;
  return (x, y) => {
    const ax = Math.abs(x);
    const ay = Math.abs(y);
    if (ax < half && ay < half) return square(x, y);
    if (ax > away && ay > away) {
      return hourglassField(x - Math.sign(x) * HOURGLASS_OFFSET_MM, y - Math.sign(y) * HOURGLASS_OFFSET_MM);
    }
    return ax < 11 && y > 29 ? glyphs(x, y) : 1;
  };
}
