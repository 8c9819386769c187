import { beforeAll, describe, expect, it } from 'vitest';
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs';
import type { Path } from '../../src/geometry/path.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { layoutTemplate } from '../../src/template/layout.ts';
import { PAPER_SIZES } from '../../src/template/paper.ts';
import type { TemplateLayout } from '../../src/template/sheet-types.ts';
import { templatePdf } from '../../src/template/template-pdf.ts';
import type { TemplateInput } from '../../src/template/template-input.ts';
import { boxPath, leafPath, marshHeron, marshHeronPieces, plainPiece } from './marsh-heron.ts';
import { squaresOn } from './check-squares.ts';
import { linesAcross, linesUp, rasterizePdf } from './rasterize.ts';
import { type ReadCommand, type ReadPage, type ReadPath, readPdf } from './read-pdf.ts';

const MARGIN_MM = 8;
const marshOn = (paper: 'A4' | 'Letter' | 'A3' | 'Tabloid'): TemplateInput =>
  marshHeron({ pageSetup: { paper, marginMm: MARGIN_MM, overlapMm: 10 } });

/** A path's own points in drawing order, control points too; close draws its last straight segment. */
function ownPoints(path: Path): PlanePoint[] {
  const points = path.segments.flatMap((segment) =>
    segment.kind === 'cubic' ? [segment.c1, segment.c2, segment.to] : [segment.to],
  );
  const last = path.segments.at(-1);
  return [path.start, ...(path.closed && last?.kind === 'line' ? points.slice(0, -1) : points)];
}

const drawnPoints = (commands: readonly ReadCommand[]): PlanePoint[] =>
  commands.flatMap(({ points }) => points);

/** Splits what one paint operator drew into its separate paths. */
function subpaths({ commands }: ReadPath): ReadCommand[][] {
  const parts: ReadCommand[][] = [];
  for (const command of commands) {
    if (command.verb === 'move') parts.push([]);
    parts.at(-1)?.push(command);
  }
  return parts;
}

/** Largest difference between the distances within the two point lists: nought for the same shape, however it lies. */
function shapeDifferenceMm(a: readonly PlanePoint[], b: readonly PlanePoint[]): number {
  if (a.length !== b.length) return Infinity;
  const anchors = [0, Math.floor(a.length / 3), Math.floor((2 * a.length) / 3)];
  let worst = 0;
  for (const k of anchors) {
    for (let i = 0; i < a.length; i++) {
      worst = Math.max(worst, Math.abs(distanceMm(a[i]!, a[k]!) - distanceMm(b[i]!, b[k]!)));
    }
  }
  return worst;
}

/** The page's drawing of a path, found by its shape alone. */
function findDrawn(page: ReadPage, path: Path): { points: PlanePoint[]; differenceMm: number } | undefined {
  const own = ownPoints(path);
  const candidates = page.paths
    .filter(({ painted }) => painted === 'stroke')
    .flatMap(subpaths)
    .map(drawnPoints)
    .map((points) => ({ points, differenceMm: shapeDifferenceMm(points, own) }));
  const best = candidates.toSorted((a, b) => a.differenceMm - b.differenceMm)[0];
  return best && best.differenceMm < 1 ? best : undefined;
}

/** Maps page points to the piece's frame, by the two farthest points of the drawn path (no code of the layout). */
function pageToPiece(
  drawn: readonly PlanePoint[],
  own: readonly PlanePoint[],
): (point: PlanePoint) => PlanePoint {
  const far = own.reduce(
    (best, point, i) => (distanceMm(point, own[0]!) > distanceMm(own[best]!, own[0]!) ? i : best),
    0,
  );
  const turn =
    Math.atan2(own[far]!.y - own[0]!.y, own[far]!.x - own[0]!.x) -
    Math.atan2(drawn[far]!.y - drawn[0]!.y, drawn[far]!.x - drawn[0]!.x);
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return ({ x, y }) => {
    const [dx, dy] = [x - drawn[0]!.x, y - drawn[0]!.y];
    return { x: own[0]!.x + c * dx - s * dy, y: own[0]!.y + s * dx + c * dy };
  };
}

const cutPath = (input: TemplateInput, piece: number): Path =>
  input.pieces[piece]!.lines.find(({ kind }) => kind === 'cut')!.path;

/** Centres of the registration marks' rings drawn on a page: full circles of radius 3 mm. */
function ringCentres(page: ReadPage): PlanePoint[] {
  return page.paths.flatMap(({ commands }) => {
    const cubics = commands.filter(({ verb }) => verb === 'cubic');
    if (cubics.length !== 4 || commands.length !== 6) return [];
    const ends = cubics.map(({ points }) => points[2]!);
    const centre = { x: (ends[0]!.x + ends[2]!.x) / 2, y: (ends[0]!.y + ends[2]!.y) / 2 };
    return Math.abs(distanceMm(centre, ends[1]!) - 3) < 0.01 ? [centre] : [];
  });
}

const wordsOf = ({ words }: ReadPage): string =>
  words
    .map(({ text }) => text)
    .join(' ')
    .replaceAll(/\s+/g, ' ');

describe.each(['A4', 'Letter', 'A3', 'Tabloid'] as const)(
  'the template on %s, read back by pdf.js',
  (paper) => {
    const input = marshOn(paper);
    let layout: TemplateLayout;
    let pages: ReadPage[];
    const sheetPage = (sheet: number): ReadPage => pages[layout.coverPageCount + sheet]!;

    beforeAll(async () => {
      layout = layoutTemplate(input);
      pages = await readPdf(await templatePdf(input));
    });

    it('has the pages that the layout counts, all upright and of the paper\u2019s exact size', () => {
      expect(pages).toHaveLength(layout.pageCount);
      for (const page of pages) {
        expect(page.widthMm).toBeCloseTo(PAPER_SIZES[paper].widthMm, 3);
        expect(page.heightMm).toBeCloseTo(PAPER_SIZES[paper].heightMm, 3);
      }
    });

    it('draws every line of every piece in its true shape, to 0.01 mm, cubics as cubics', () => {
      layout.sheets.forEach((sheet, i) => {
        for (const { piece } of sheet.pieces) {
          for (const { path } of input.pieces[piece]!.lines) {
            expect(findDrawn(sheetPage(i), path)?.differenceMm ?? Infinity).toBeLessThan(0.01);
          }
        }
      });
      // The leaf is two cubics and stays two cubics.
      const leaf = cutPath(input, 5);
      const page = layout.sheets.findIndex((sheet) => sheet.pieces.some(({ piece }) => piece === 5));
      const drawn = sheetPage(page)
        .paths.flatMap(subpaths)
        .find((part) => shapeDifferenceMm(drawnPoints(part), ownPoints(leaf)) < 0.01);
      expect(drawn?.map(({ verb }) => verb)).toEqual(['move', 'cubic', 'cubic', 'close']);
    });

    it('turns no piece over', () => {
      layout.sheets.forEach((sheet, i) => {
        for (const { piece } of sheet.pieces) {
          const own = ownPoints(cutPath(input, piece));
          const { points } = findDrawn(sheetPage(i), cutPath(input, piece))!;
          const toPiece = pageToPiece(points, own);
          points.forEach((point, k) => expect(distanceMm(toPiece(point), own[k]!)).toBeLessThan(0.02));
        }
      });
    });

    it('prints the marks of neighbouring sheets at the same places of the pattern, under the same names', () => {
      let joins = 0;
      layout.sheets.forEach((sheet, i) => {
        for (const join of sheet.joins) {
          const other = layout.sheets.findIndex(({ name }) => name === join.neighbour);
          const group = layout.groups.find(({ members }) => members.some((member) => member.sheet === i))!;
          const path = cutPath(input, group.pieces[0]!);
          const own = ownPoints(path);
          const [here, there] = [sheetPage(i), sheetPage(other)].map((page) => {
            const toPiece = pageToPiece(findDrawn(page, path)!.points, own);
            return ringCentres(page).map(toPiece);
          });
          const shared = here!.filter((mark) => there!.some((twin) => distanceMm(mark, twin) < 0.02));
          expect(shared).toHaveLength(join.marks.length);
          for (const { name } of join.marks) {
            expect(wordsOf(sheetPage(i))).toContain(name);
            expect(wordsOf(sheetPage(other))).toContain(name);
          }
          joins++;
        }
      });
      expect(joins).toBeGreaterThan(0);
    });

    it('draws both check squares on every page', () => {
      for (const page of pages) {
        expect(squaresOn(page, 50)).toHaveLength(1);
        expect(squaresOn(page, 50.8)).toHaveLength(1);
      }
    });

    it('draws nothing into the margins: what reaches farther is clipped to the printable part', () => {
      const inside = ({ x, y }: PlanePoint, { widthMm, heightMm }: ReadPage): boolean =>
        Math.min(x, y, widthMm - x, heightMm - y) >= MARGIN_MM - 0.001;
      for (const page of pages) {
        for (const { commands, clip } of page.paths) {
          for (const point of clip ?? drawnPoints(commands)) expect(inside(point, page)).toBe(true);
        }
      }
    });

    it('names each piece, its count, foam, size and revision on a sheet that holds it', () => {
      input.pieces.forEach((piece, index) => {
        const text = layout.sheets
          .map((sheet, i) =>
            sheet.labels.some((label) => label.piece === index) ? wordsOf(sheetPage(i)) : '',
          )
          .join(' ');
        expect(text).toContain(`${index + 1} · ${piece.name.replace('灯', '□')}`);
        expect(text).toContain(piece.count === 2 ? 'cut 2 (1 mirrored)' : `cut ${piece.count}`);
        expect(text).toContain(`EVA, ${piece.foamThicknessMm} mm`);
        expect(text).toContain(piece.sizeLabel);
        expect(text).toContain(piece.revisionLabel);
      });
      layout.sheets.forEach(({ name }, i) => expect(wordsOf(sheetPage(i))).toContain(name));
    });
  },
);

describe('the cover', () => {
  it('tells how to print, which lines are which, what the pieces are, where they lie, and to take care', async () => {
    const [cover] = await readPdf(await templatePdf(marshOn('A4')));
    const text = wordsOf(cover!);
    for (const words of [
      'Marsh Heron Warden',
      '25 November 2026',
      'Print at 100 %',
      'cut-out',
      'score',
      'fold',
      'placement',
      'Łuk čelní',
      'Перо шапки',
      'cut 2 (1 mirrored)',
      'Knife',
      'Contact cement',
      'open windows',
      'never near wet cement',
      'costume, not protective equipment',
      'sight, hearing',
      'local rules',
    ]) {
      expect(text).toContain(words);
    }
  });

  it('lists size and revision of every piece without cutting them short', async () => {
    const labels = { sizeLabel: 'Wren, warden, 580 mm', revisionLabel: 'revision 12: traced from photo' };
    const pieces = marshHeronPieces().map((piece) => ({ ...piece, ...labels }));
    const [cover] = await readPdf(await templatePdf(marshHeron({ pieces })));
    const listed = wordsOf(cover!).split(`${labels.sizeLabel} · ${labels.revisionLabel}`);
    expect(listed.length - 1).toBe(pieces.length);
  });

  it('shows every kind of line in use by its own dashes, so that it reads in black and white', async () => {
    const [cover] = await readPdf(await templatePdf(marshOn('A4')));
    // Samples of the legend: 18 mm long and level.
    const samples = cover!.paths.filter(({ commands }) => {
      const [from, to] = drawnPoints(commands);
      return (
        commands.length === 2 && Math.abs(to!.x - from!.x - 18) < 0.01 && Math.abs(to!.y - from!.y) < 0.01
      );
    });
    expect(samples).toHaveLength(7);
    // Cut lines and marks are both solid; a mark is a short tick and thinner.
    expect(
      new Set(samples.map(({ dashMm, lineWidthMm }) => JSON.stringify([dashMm, lineWidthMm]))).size,
    ).toBe(7);
  });

  it('grows by list pages when the pieces are many, each with its check squares', async () => {
    const input = marshHeron({
      pieces: Array.from({ length: 70 }, (_, i) => plainPiece(`feather ${i + 1}`, leafPath(60, 14))),
    });
    const layout = layoutTemplate(input);
    expect(layout.coverPageCount).toBeGreaterThan(1);
    const pages = await readPdf(await templatePdf(input));
    expect(pages).toHaveLength(layout.pageCount);
    const listed = pages.slice(0, layout.coverPageCount).map(wordsOf).join(' ');
    for (let i = 1; i <= 70; i++) expect(listed).toContain(`feather ${i} `);
    for (const page of pages) expect(squaresOn(page, 50)).toHaveLength(1);
  });
});

describe('true scale', () => {
  it('holds on a 300 dpi picture by poppler: both check squares to 0.1 mm, each way, on every page', async () => {
    const bytes = await templatePdf(marshHeron({ pieces: [plainPiece('band', boxPath(300, 170))] }));
    const pages = await readPdf(bytes);
    const pictures = await rasterizePdf(bytes, 300);
    expect(pictures).toHaveLength(3);
    pages.forEach((page, i) => {
      for (const sideMm of [50, 50.8]) {
        const { x, y } = squaresOn(page, sideMm)[0]!;
        // Met in the square's lower part, below its words.
        const [left, right] = linesAcross(pictures[i]!, y + 20.3, x - 1, x + sideMm + 1);
        expect(Math.abs(right! - left! - sideMm)).toBeLessThan(0.1);
        const [bottom, top] = linesUp(pictures[i]!, x + 40.3, y - 1, y + sideMm + 1);
        expect(Math.abs(top! - bottom! - sideMm)).toBeLessThan(0.1);
      }
    });
  });

  it('is brought about on a printer that prints 98 % across and 101.5 % along', async () => {
    const printerScale = { across: 0.98, along: 1.015 };
    const input = marshHeron({
      pageSetup: { paper: 'A4', marginMm: MARGIN_MM, overlapMm: 10, printerScale },
    });
    const printed = (await readPdf(await templatePdf(input))).map((page) => scalePage(page, printerScale));
    const layout = layoutTemplate(input);
    for (const page of printed) {
      expect(squaresOn(page, 50)).toHaveLength(1);
      expect(squaresOn(page, 50.8)).toHaveLength(1);
    }
    layout.sheets.forEach((sheet, i) => {
      for (const { piece } of sheet.pieces) {
        const drawn = findDrawn(printed[layout.coverPageCount + i]!, cutPath(input, piece));
        expect(drawn?.differenceMm ?? Infinity).toBeLessThan(0.01);
      }
    });
    expect(wordsOf(printed[0]!)).toContain('98.00 % across and 101.50 % along');
  });

  it('is asked of the print dialogue', async () => {
    const document = await getDocument({ data: await templatePdf(marshOn('A4')), verbosity: 0 }).promise;
    expect(await document.getViewerPreferences()).toMatchObject({ PrintScaling: 'None' });
    await document.destroy();
  });
});

/** What a printer of that scale makes of a page. */
function scalePage(page: ReadPage, { across, along }: { across: number; along: number }): ReadPage {
  const scale = ({ x, y }: PlanePoint): PlanePoint => ({ x: x * across, y: y * along });
  return {
    ...page,
    paths: page.paths.map((path) => ({
      ...path,
      commands: path.commands.map(({ verb, points }) => ({ verb, points: points.map(scale) })),
    })),
  };
}

describe('names', () => {
  it.each([
    '<script>alert(1)</script>',
    '(unbalanced \\( PDF) string',
    '🪶灯 קשת קדמית قوس',
    '\u0000\n\r\u202e',
    '',
    'w'.repeat(400),
    'Łuk čelní přední z rákosí a per, levá půlka s velmi dlouhým názvem',
  ])('such as %j print without harm', async (name) => {
    const input = marshHeron({
      buildName: name,
      pieces: [
        { ...plainPiece(name, boxPath(120, 60)), foamName: name, sizeLabel: name, revisionLabel: name },
      ],
    });
    const pages = await readPdf(await templatePdf(input));
    expect(pages).toHaveLength(2);
    expect(wordsOf(pages[1]!)).toContain('cut 1');
    // Words begin on the page; what is too long is cut off by its box, not by the paper's edge.
    for (const { words, widthMm } of pages) {
      for (const { at } of words) expect(at.x).toBeGreaterThanOrEqual(0);
      for (const { at } of words) expect(at.x).toBeLessThan(widthMm);
    }
  });
});

it('the same input gives the same bytes', async () => {
  const [first, second] = [await templatePdf(marshOn('A4')), await templatePdf(marshOn('A4'))];
  expect(Buffer.compare(first, second)).toBe(0);
});
