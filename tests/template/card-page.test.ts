import { createRequire } from 'node:module';
import { beforeAll, describe, expect, it } from 'vitest';
import { CARD_COUNT, MARK_OFFSET_MM, SQUARE_SIDE_MM } from '../../src/capture/card.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { scaleCardPages } from '../../src/template/card-page.ts';
import { findMarkers } from '../../src/vision/markers.ts';
import { linesAcross, linesUp, type PagePicture, rasterizePdf } from './rasterize.ts';
import { type ReadPage, type ReadPath, readPdf } from './read-pdf.ts';

/** js-aruco2 ships no types; it decodes markers without any code of this project or of OpenCV. */
interface DecodedMarker {
  readonly id: number;
  readonly corners: readonly { readonly x: number; readonly y: number }[];
  readonly hammingDistance: number;
}
const { AR } = createRequire(import.meta.url)('js-aruco2') as {
  AR: {
    Detector: new (options: {
      dictionaryName: string;
      maxHammingDistance: number;
    }) => {
      detectImage(width: number, height: number, data: Uint8ClampedArray): DecodedMarker[];
    };
  };
};

const PAPERS = ['A4', 'Letter'] as const;
/** ISO 216 (A4) and ANSI/ASME Y14.1 size A, 8.5 x 11 in. */
const SIZES = { A4: [210, 297], Letter: [215.9, 279.4] } as const;
const ALL_IDS = Array.from({ length: CARD_COUNT }, (_, id) => id);
const LEAST_MARGIN_MM = 6;

const sorted = (ids: readonly number[]): number[] => ids.toSorted((a, b) => a - b);

describe.each(PAPERS)('scale-card pages on %s', (paper) => {
  let pages: ReadPage[];
  let pictures: PagePicture[];

  beforeAll(async () => {
    const bytes = await scaleCardPages(paper);
    pages = await readPdf(bytes);
    pictures = await rasterizePdf(bytes, 300);
  });

  it('have the page box of the published paper size', () => {
    expect(pages).toHaveLength(2);
    for (const page of pages) {
      expect(page.widthMm).toBeCloseTo(SIZES[paper][0], 3);
      expect(page.heightMm).toBeCloseTo(SIZES[paper][1], 3);
    }
  });

  it('keep everything 6 mm away from the edges of the paper', () => {
    for (const { paths, widthMm, heightMm } of pages) {
      for (const { x, y } of paths.flatMap(({ commands }) => commands.flatMap(({ points }) => points))) {
        expect(Math.min(x, y, widthMm - x, heightMm - y)).toBeGreaterThanOrEqual(LEAST_MARGIN_MM);
      }
    }
    // Letters too, as poppler draws them.
    for (const picture of pictures) expect(inkInMargin(picture, LEAST_MARGIN_MM)).toBe(0);
  });

  it('are decoded by js-aruco2 without a wrong bit: every id once', () => {
    const detector = new AR.Detector({ dictionaryName: 'ARUCO_MIP_36h12', maxHammingDistance: 0 });
    const found = pictures.flatMap(({ width, height, data }) =>
      detector.detectImage(width, height, new Uint8ClampedArray(data)),
    );
    expect(sorted(found.map(({ id }) => id))).toEqual(ALL_IDS);
    expect(found.every(({ hammingDistance }) => hammingDistance === 0)).toBe(true);
  });

  it('are found upright by OpenCV with its own dictionary', async () => {
    const vision = await loadVisionInNode();
    const found = pictures.flatMap((picture) => findMarkers(vision, picture, CARD_COUNT));
    expect(sorted(found.map(({ id }) => id))).toEqual(ALL_IDS);
    for (const { cornersPx } of found) {
      const [topLeft, topRight, , bottomLeft] = cornersPx;
      expect(topRight.u - topLeft.u).toBeGreaterThan(500);
      expect(bottomLeft.v - topLeft.v).toBeGreaterThan(500);
    }
  });

  it('print each marker as one shape, so that no hairlines show between its cells', () => {
    const shapes = pages.flatMap(({ paths }) => paths.filter(({ painted }) => painted === 'fill-even-odd'));
    expect(shapes).toHaveLength(CARD_COUNT);
    for (const shape of shapes) {
      const corners = shape.commands.slice(0, 4).flatMap(({ points }) => points);
      expect(Math.max(...corners.map(({ x }) => x)) - Math.min(...corners.map(({ x }) => x))).toBeCloseTo(
        50,
        3,
      );
    }
  });

  it('measure 50.0 mm over each black square on a 300 dpi picture', () => {
    pictures.forEach((picture, i) => {
      for (const { left, bottom } of squaresOf(pages[i]!)) {
        const wide = blackRun(picture, left, bottom, 'across');
        const high = blackRun(picture, left, bottom, 'up');
        expect(Math.abs(wide - SQUARE_SIDE_MM)).toBeLessThan(0.1);
        expect(Math.abs(high - SQUARE_SIDE_MM)).toBeLessThan(0.1);
      }
    });
  });

  it('measure 150.0 mm over the bar across and 200.0 mm over the bar along on a 300 dpi picture', () => {
    pictures.forEach((picture, i) => {
      const page = pages[i]!;
      const across = endLines(page, 150, 'across');
      const [left, right] = linesAcross(picture, across.y + 1.5, across.x - 2, across.x + 152);
      expect(Math.abs(right! - left! - 150)).toBeLessThan(0.1);
      const along = endLines(page, 200, 'along');
      const [low, high] = linesUp(picture, along.x + 1.5, along.y - 2, along.y + 202);
      expect(Math.abs(high! - low! - 200)).toBeLessThan(0.1);
    });
  });

  it('fill the hourglass marks right of and above their points, left of and below', () => {
    const [picture, page] = [pictures[0]!, pages[0]!];
    for (const { left, bottom } of squaresOf(page)) {
      const centre = { x: left + SQUARE_SIDE_MM / 2, y: bottom + SQUARE_SIDE_MM / 2 };
      for (const [sx, sy] of [
        [-1, 1],
        [1, 1],
        [1, -1],
        [-1, -1],
      ] as const) {
        const [x, y] = [centre.x + sx * MARK_OFFSET_MM, centre.y + sy * MARK_OFFSET_MM];
        for (const [dx, dy] of [
          [1, 1],
          [-1, -1],
          [1, -1],
          [-1, 1],
        ] as const) {
          expect(isDark(picture, x + 2 * dx, y + 2 * dy)).toBe(dx * dy > 0);
          // Beyond the radius of 5 mm the card is white, however the quarter is filled.
          expect(isDark(picture, x + 3.8 * dx, y + 3.8 * dy)).toBe(false);
        }
      }
    }
  });

  it('say how to print, measure and lay the cards, and name each card', () => {
    const words = pages.map((page) => page.words.map(({ text }) => text).join(' '));
    for (const text of words) {
      expect(text).toMatch(/100 %/);
      expect(text).toMatch(/Measure both bars/);
      expect(text).toMatch(/quarter turn/);
    }
    for (const id of ALL_IDS) expect(words[Math.floor(id / 6)]).toMatch(new RegExp(`\\b${id}\\b`));
  });
});

/** Lower left corners of a page's black squares, from the drawn shapes, mm. */
function squaresOf({ paths }: ReadPage): { left: number; bottom: number }[] {
  return paths
    .filter(({ painted }) => painted === 'fill-even-odd')
    .map(({ commands }) => {
      const points = commands.slice(0, 4).flatMap((command) => command.points);
      return { left: Math.min(...points.map(({ x }) => x)), bottom: Math.min(...points.map(({ y }) => y)) };
    });
}

function isDark({ width, height, data, pixelsPerMm }: PagePicture, x: number, y: number): boolean {
  const [column, row] = [Math.floor(x * pixelsPerMm), Math.floor(height - y * pixelsPerMm)];
  return data[(row * width + column) * 4]! < 128;
}

/** Length of the black border's outer side, from the ink in a one-pixel strip through its middle (3 mm inside), mm. */
function blackRun(picture: PagePicture, left: number, bottom: number, way: 'across' | 'up'): number {
  const { pixelsPerMm, width, height, data } = picture;
  let ink = 0;
  for (let i = 0; i < (SQUARE_SIDE_MM + 4) * pixelsPerMm; i++) {
    const along =
      Math.round((way === 'across' ? left : bottom) * pixelsPerMm) + i - Math.round(2 * pixelsPerMm);
    const fixed = ((way === 'across' ? bottom : left) + 3) * pixelsPerMm;
    const [column, row] =
      way === 'across' ? [along, Math.floor(height - fixed)] : [Math.floor(fixed), height - 1 - along];
    ink += 1 - data[(row * width + column) * 4]! / 255;
  }
  return ink / pixelsPerMm;
}

/** Lower left end of the check bar, from the drawn line of that nominal length. */
function endLines({ paths }: ReadPage, lengthMm: number, way: 'across' | 'along'): { x: number; y: number } {
  const isBar = ({ commands }: ReadPath): boolean => {
    const [from, to] = commands.flatMap(({ points }) => points);
    if (!from || !to || commands.length !== 2) return false;
    const [dx, dy] = [Math.abs(to.x - from.x), Math.abs(to.y - from.y)];
    return way === 'across' ? Math.abs(dx - lengthMm) < 1 && dy < 1 : Math.abs(dy - lengthMm) < 1 && dx < 1;
  };
  const bar = paths.filter(isBar);
  expect(bar).toHaveLength(1);
  return bar[0]!.commands[0]!.points[0]!;
}

/** Inked pixels nearer than `marginMm` to an edge. */
function inkInMargin({ width, height, data, pixelsPerMm }: PagePicture, marginMm: number): number {
  const reach = Math.floor(marginMm * pixelsPerMm);
  let ink = 0;
  for (let row = 0; row < height; row++) {
    const wholeRow = row < reach || row >= height - reach;
    for (let column = 0; column < width; column++) {
      if (!wholeRow && column === reach) column = width - reach;
      if (data[(row * width + column) * 4]! < 200) ink++;
    }
  }
  return ink;
}
