import fc from 'fast-check';
import DistanceOp from 'jsts/org/locationtech/jts/operation/distance/DistanceOp.js';
import { describe, expect, it } from 'vitest';
import { flattenPath } from '../../src/geometry/measure.ts';
import { mapPath, type Path, polylinePath } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { layoutTemplate } from '../../src/template/layout.ts';
import type { PaperName } from '../../src/template/paper.ts';
import { placer, unplacer } from '../../src/template/placement.ts';
import type { Rect } from '../../src/template/rect.ts';
import type { TemplateLayout, TemplateSheet } from '../../src/template/sheet-types.ts';
import type { TemplateInput, TemplatePiece } from '../../src/template/template-input.ts';
import { jstsLine } from '../geometry/drawn.ts';
import { boxPath, leafPath, marshHeron, plainPiece } from './marsh-heron.ts';

const PAPERS: readonly PaperName[] = ['A4', 'Letter', 'A3', 'Tabloid'];
const GAP_MM = 5;

const onA4 = (...paths: readonly Path[]): TemplateInput =>
  marshHeron({ pieces: paths.map((path, i) => plainPiece(`piece ${i + 1}`, path)) });

/** Every point of the piece's lines, finely, in its own frame. */
const pointsOf = (piece: TemplatePiece): PlanePoint[] =>
  piece.lines.flatMap(({ path }) => {
    const points = flattenPath(path);
    return points.flatMap((a, i) => {
      const b = points[i + 1];
      if (!b) return [a];
      const steps = Math.ceil(Math.hypot(b.x - a.x, b.y - a.y));
      return Array.from({ length: steps }, (_, k) => ({
        x: a.x + ((b.x - a.x) * k) / steps,
        y: a.y + ((b.y - a.y) * k) / steps,
      }));
    });
  });

const isIn = ({ x, y }: PlanePoint, rect: Rect, slack = 1e-6): boolean =>
  x >= rect.x - slack &&
  x <= rect.x + rect.widthMm + slack &&
  y >= rect.y - slack &&
  y <= rect.y + rect.heightMm + slack;

const areaOf = ({ frame }: TemplateLayout): Rect => ({
  x: 0,
  y: 0,
  widthMm: frame.widthMm,
  heightMm: frame.heightMm,
});

/** The sheets that hold a piece, with where it lies on each. */
const placesOf = ({ sheets }: TemplateLayout, piece: number) =>
  sheets.flatMap((sheet) =>
    sheet.pieces.filter((placed) => placed.piece === piece).map(({ placement }) => ({ sheet, placement })),
  );

/** Each part of a piece that has to be printed is: whole on one sheet, or every point on the sheet that answers for it. */
function expectAllPrinted(layout: TemplateLayout, pieces: readonly TemplatePiece[]): void {
  const area = areaOf(layout);
  pieces.forEach((piece, index) => {
    const places = placesOf(layout, index);
    expect(places.length).toBeGreaterThan(0);
    const group = layout.groups.find(({ pieces }) => pieces.includes(index));
    if (!group) {
      expect(places).toHaveLength(1);
      const place = placer(places[0]!.placement);
      expect(pointsOf(piece).every((point) => isIn(place(point), area))).toBe(true);
      return;
    }
    for (const point of pointsOf(piece)) {
      const printed = places.some(({ placement }) => isIn(placer(placement)(point), area));
      expect(printed).toBe(true);
    }
  });
}

/** Pieces that share a sheet lie apart (jsts), and small ones in the sheet's own part only. */
function expectApart(layout: TemplateLayout, pieces: readonly TemplatePiece[]): void {
  for (const sheet of layout.sheets) {
    const outlines = sheet.pieces.map(({ piece, placement }) => {
      const { path } = pieces[piece]!.lines.find(({ kind }) => kind === 'cut')!;
      return jstsLine(flattenPath(mapPath(path, placer(placement)), 0.05), path.closed);
    });
    for (let i = 0; i < outlines.length; i++) {
      for (let k = 0; k < i; k++) {
        expect(DistanceOp.distance(outlines[i]!, outlines[k]!)).toBeGreaterThanOrEqual(GAP_MM);
      }
    }
  }
}

/** Neighbours carry the same marks under the same names at the same places of the pattern. */
function expectMarksShared({ sheets, groups }: TemplateLayout): void {
  for (const sheet of sheets) {
    for (const join of sheet.joins) {
      const other = sheets.find(({ name }) => name === join.neighbour)!;
      const back = other.joins.find(({ neighbour }) => neighbour === sheet.name)!;
      expect(back.trimmed).toBe(!join.trimmed);
      expect(join.marks.length).toBeGreaterThanOrEqual(2);
      expect(join.marks.map(({ name }) => name)).toEqual(back.marks.map(({ name }) => name));
      const group = groups.find(({ members }) => members.some((member) => sheets[member.sheet] === sheet))!;
      const toPiece = unplacer(sheet.pieces.find(({ piece }) => piece === group.pieces[0])!.placement);
      const fromOther = unplacer(other.pieces.find(({ piece }) => piece === group.pieces[0])!.placement);
      join.marks.forEach(({ name, at }, i) => {
        const [here, there] = [toPiece(at), fromOther(back.marks[i]!.at)];
        expect(Math.hypot(here.x - there.x, here.y - there.y), name).toBeLessThan(1e-9);
        expect(name).toContain(sheet.name);
        expect(name).toContain(other.name);
      });
    }
  }
}

function expectSquares(layout: TemplateLayout): void {
  for (const { squares } of layout.sheets) {
    expect(new Set(squares.map(({ box }) => box.widthMm))).toEqual(new Set([50, 50.8]));
    for (const { box } of squares) {
      expect(box.heightMm).toBe(box.widthMm);
      for (const [x, y] of [
        [box.x, box.y],
        [box.x + box.widthMm, box.y + box.heightMm],
      ] as const) {
        expect(isIn({ x, y }, areaOf(layout))).toBe(true);
      }
    }
  }
}

/** A clear square has no line of the pattern in or near it. */
function expectClearSquaresAreClear(layout: TemplateLayout, pieces: readonly TemplatePiece[]): void {
  for (const sheet of layout.sheets) {
    const points = sheet.pieces.flatMap(({ piece, placement }) =>
      pointsOf(pieces[piece]!).map(placer(placement)),
    );
    for (const { box, clear } of sheet.squares) {
      // On the square's own line, or within a millimetre of it.
      const edge = (point: PlanePoint): boolean =>
        isIn(point, box, 1) &&
        !isIn(point, {
          ...box,
          x: box.x + 1,
          y: box.y + 1,
          widthMm: box.widthMm - 2,
          heightMm: box.heightMm - 2,
        });
      if (clear) expect(points.some(edge)).toBe(false);
    }
  }
}

function expectSound(layout: TemplateLayout, pieces: readonly TemplatePiece[]): void {
  expectAllPrinted(layout, pieces);
  expectApart(layout, pieces);
  expectMarksShared(layout);
  expectSquares(layout);
  expectClearSquaresAreClear(layout, pieces);
  const names = layout.sheets.map(({ name }) => name);
  expect(new Set(names).size).toBe(names.length);
  expect(layout.sheets.map(({ pageNumber }) => pageNumber)).toEqual(
    names.map((_, i) => layout.coverPageCount + 1 + i),
  );
  expect(layout.pageCount).toBe(layout.coverPageCount + layout.sheets.length);
  for (const sheet of layout.sheets) {
    for (const { box } of sheet.labels) {
      expect(isIn({ x: box.x, y: box.y }, areaOf(layout))).toBe(true);
      expect(isIn({ x: box.x + box.widthMm, y: box.y + box.heightMm }, areaOf(layout))).toBe(true);
    }
  }
  pieces.forEach((_, index) => {
    expect(layout.sheets.some(({ labels }) => labels.some(({ piece }) => piece === index))).toBe(true);
  });
}

describe("the Marsh Heron Warden's template", () => {
  it.each(PAPERS)('is sound on %s', (paper) => {
    const input = marshHeron({ pageSetup: { paper, marginMm: 8, overlapMm: 10 } });
    const layout = layoutTemplate(input);
    expectSound(layout, input.pieces);
    expect(layout.sheets.every(({ squares }) => squares.every(({ clear }) => clear))).toBe(true);
  });

  it.each([0, 5, 15, 30])('is sound with an overlap of %i mm', (overlapMm) => {
    const input = marshHeron({ pageSetup: { paper: 'A4', marginMm: 6, overlapMm } });
    expectSound(layoutTemplate(input), input.pieces);
  });

  it('is sound for a printer that prints small one way and large the other', () => {
    const printerScale = { across: 0.97, along: 1.02 };
    const input = marshHeron({ pageSetup: { paper: 'Letter', marginMm: 8, overlapMm: 10, printerScale } });
    expectSound(layoutTemplate(input), input.pieces);
  });

  it('says which name cannot be printed as it is written', () => {
    const [warning, ...others] = layoutTemplate(marshHeron()).warnings;
    expect(others).toEqual([]);
    expect(warning?.code).toBe('letters-missing');
    expect(warning?.message).toContain('Lantern plate 灯');
  });

  it('is laid the same way each time', () => {
    expect(layoutTemplate(marshHeron())).toEqual(layoutTemplate(marshHeron()));
  });
});

describe('any pieces', () => {
  const anyPath = fc.oneof(
    fc
      .record({ long: fc.integer({ min: 8, max: 620 }), bulge: fc.integer({ min: 3, max: 160 }) })
      .map(({ long, bulge }) => leafPath(long, bulge)),
    fc
      .record({ wide: fc.integer({ min: 4, max: 480 }), high: fc.integer({ min: 4, max: 320 }) })
      .map(({ wide, high }) => boxPath(wide, high)),
  );

  it('are all printed, apart from each other, with marks shared and squares in place', () => {
    fc.assert(
      fc.property(
        fc.array(anyPath, { minLength: 1, maxLength: 7 }),
        fc.constantFrom(...PAPERS),
        fc.integer({ min: 0, max: 25 }),
        fc.integer({ min: 4, max: 15 }),
        (paths, paper, overlapMm, marginMm) => {
          const input = { ...onA4(...paths), pageSetup: { paper, marginMm, overlapMm } };
          expectSound(layoutTemplate(input), input.pieces);
        },
      ),
      { numRuns: 25, seed: 20261125 },
    );
  });

  it('may be none at all: the cover alone is left', () => {
    const layout = layoutTemplate(marshHeron({ pieces: [] }));
    expect(layout.sheets).toEqual([]);
    expect(layout.pageCount).toBe(1);
  });

  it('without lines take no sheet', () => {
    expect(
      layoutTemplate(marshHeron({ pieces: [{ ...plainPiece('empty', boxPath(9, 9)), lines: [] }] })).sheets,
    ).toEqual([]);
  });
});

describe('the fewest sheets', () => {
  const sheetsFor = (input: TemplateInput): TemplateSheet[] => [...layoutTemplate(input).sheets];
  /** A4 with margins of 8 mm and the footer leaves 194 x 272 mm. */
  const WIDE = 194;
  const HIGH = 272;

  it('are one for four boxes that fill a page together', () => {
    const sheets = sheetsFor(onA4(boxPath(92, 130), boxPath(92, 130), boxPath(92, 130), boxPath(92, 130)));
    expect(sheets).toHaveLength(1);
    // The squares find room on the boxes, whose labels make way.
    expect(sheets[0]!.squares.every(({ clear }) => clear)).toBe(true);
  });

  it('leave no room for a clear check square at times, and that is said', () => {
    const strips = Array.from({ length: 8 }, () => boxPath(190, 26));
    const layout = layoutTemplate(onA4(...strips));
    expect(layout.sheets).toHaveLength(1);
    expect(layout.sheets[0]!.squares.some(({ clear }) => !clear)).toBe(true);
    const crossed = layout.warnings.find(({ code }) => code === 'square-crossed');
    expect(crossed?.message).toContain('Sheet A1');
  });

  it('are two for five of them', () => {
    expect(sheetsFor(onA4(...Array.from({ length: 5 }, () => boxPath(92, 130))))).toHaveLength(2);
  });

  it('are one for a piece just as large as the page, lines and all, and two for one a little larger', () => {
    expect(sheetsFor(onA4(boxPath(WIDE - 1, HIGH - 1)))).toHaveLength(1);
    expect(sheetsFor(onA4(boxPath(HIGH - 1, WIDE - 1)))).toHaveLength(1);
    expect(sheetsFor(onA4(boxPath(WIDE + 1, HIGH - 1)))).toHaveLength(2);
  });

  it('are one for a strip that fits from corner to corner only', () => {
    const strip = boxPath(300, 30);
    const [only, ...others] = sheetsFor(onA4(strip));
    expect(others).toEqual([]);
    const quarters = only!.pieces[0]!.placement.turnRad / (Math.PI / 2);
    expect(Math.abs(quarters - Math.round(quarters))).toBeGreaterThan(0.1);
  });

  it('are as many as its length asks for, for a band: n sheets cover n * 272 - (n - 1) * 10 mm', () => {
    const longest = (n: number): number => n * HIGH - (n - 1) * 10 - 1;
    for (const n of [2, 3, 4]) {
      expect(sheetsFor(onA4(boxPath(longest(n), 60)))).toHaveLength(n);
      expect(sheetsFor(onA4(boxPath(longest(n) + 2, 60)))).toHaveLength(n + 1);
    }
  });

  it('leave out the tile that holds nothing: an angle of two arms needs three of its four', () => {
    const arm = 60;
    const angle = polylinePath(
      [
        { x: 0, y: 0 },
        { x: 370, y: 0 },
        { x: 370, y: arm },
        { x: arm, y: arm },
        { x: arm, y: 520 },
        { x: 0, y: 520 },
      ],
      true,
    );
    const layout = layoutTemplate(onA4(angle));
    expect(layout.sheets).toHaveLength(3);
    expect(layout.groups[0]!.widthMm).toBeCloseTo(2 * WIDE - 10, 9);
  });

  it('keep the tile in the middle of a piece, though it holds no line', () => {
    const layout = layoutTemplate(onA4(boxPath(540, 780)));
    expect(layout.sheets).toHaveLength(9);
  });

  it('are shared by two long strips, joined in one go', () => {
    const layout = layoutTemplate(onA4(boxPath(600, 30), boxPath(400, 25)));
    expect(layout.sheets).toHaveLength(3);
    expect(layout.groups.map(({ pieces }) => pieces)).toEqual([[0, 1]]);
  });

  it('put small pieces into the free room of a large one', () => {
    const alone = sheetsFor(onA4(boxPath(420, 60)));
    const together = sheetsFor(onA4(boxPath(420, 60), leafPath(80, 20), boxPath(40, 40)));
    expect(together).toHaveLength(alone.length);
  });
});
