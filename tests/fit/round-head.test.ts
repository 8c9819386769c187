import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { headOval, ovalLengthMm } from '../../src/fit/head-oval.ts';
import { type ClosesAt, layRound, type RoundPiece } from '../../src/fit/round-head.ts';
import { wrapLengthMm } from '../../src/fit/wrap-length.ts';
import { polylineLengthMm } from '../../src/geometry/measure.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { ansurColumn, mean } from './ansur.ts';

/** Means of ANSUR II (FACTS section 2.2), and a large head of 62 cm with the length and breadth that go with it. */
const MAN = { girthMm: 574.4, lengthMm: 199.5, breadthMm: 154.3 };
const WOMAN = { girthMm: 561.1, lengthMm: 189.8, breadthMm: 147.8 };
const LARGE = { girthMm: 620, lengthMm: 214, breadthMm: 161.4 };

describe("the head's oval", () => {
  test.each([
    ['man', MAN],
    ['woman', WOMAN],
    ['62 cm', LARGE],
  ] as const)('of an average %s has all three measures at once, which no ellipse has', (_, size) => {
    const { points, scale, exponent } = headOval(size);
    expect(scale).toBeCloseTo(1, 5);
    expect(exponent).toBeGreaterThan(2);
    expect(ovalLengthMm(points)).toBeCloseTo(size.girthMm, 6);
    const reach = (of: 'x' | 'y') => 2 * Math.max(...points.map(({ at }) => at[of]));
    expect(reach('y')).toBeCloseTo(size.lengthMm, 2);
    expect(reach('x')).toBeCloseTo(size.breadthMm, 2);
  });

  // Exact perimeters, FACTS section 5: the means of ANSUR II as ellipses; section 3: 100 x 77.5.
  test.each([
    [99.75, 77.165, 558.061644],
    [94.91, 73.885, 532.343983],
    [100, 77.5, 559.875],
  ])('is an ellipse where the girth is that of one: half-axes %d and %d, %d round', (a, b, girthMm) => {
    const { exponent, scale } = headOval({ girthMm, lengthMm: 2 * a, breadthMm: 2 * b });
    expect(exponent).toBeCloseTo(2, 3);
    expect(scale).toBeCloseTo(1, 4);
  });

  test('an ellipse of length and breadth would be too small by 2.9 % in men and 5.4 % in women', () => {
    const short = (['M', 'F'] as const).map((sex) => {
      const [girth, length, breadth] = ['circumference', 'length', 'breadth'].map((name) =>
        ansurColumn(sex, `head${name}_mm`),
      );
      return mean(
        girth!.map((mm, i) => {
          const [a, b] = [length![i]! / 2, breadth![i]! / 2];
          return mm / (Math.PI * (3 * (a + b) - Math.sqrt((3 * a + b) * (a + 3 * b))));
        }),
      );
    });
    expect(short[0]).toBeCloseTo(1.029, 3);
    expect(short[1]).toBeCloseTo(1.054, 3);
  });

  test('nearly every head of the survey has such an oval; the rest keep their girth and proportion', () => {
    for (const sex of ['M', 'F'] as const) {
      const [girth, length, breadth] = ['circumference', 'length', 'breadth'].map((name) =>
        ansurColumn(sex, `head${name}_mm`),
      );
      const some = girth!.flatMap((girthMm, i) =>
        i % 40 === 0 ? [{ girthMm, lengthMm: length![i]!, breadthMm: breadth![i]! }] : [],
      );
      const ovals = some.map((size) => ({ size, oval: headOval(size) }));
      for (const { size, oval } of ovals) expect(ovalLengthMm(oval.points)).toBeCloseTo(size.girthMm, 6);
      const met = ovals.filter(({ oval }) => Math.abs(oval.scale - 1) < 0.002).length;
      expect(met / ovals.length).toBeGreaterThan(0.98);
    }
  });

  test('lies convex, whatever the measures', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 480, max: 680 }),
        fc.integer({ min: 160, max: 230 }),
        fc.integer({ min: 125, max: 185 }),
        (girthMm, lengthMm, breadthMm) => {
          const { points } = headOval({ girthMm, lengthMm, breadthMm });
          points.forEach(({ normal }, i) => {
            const next = points[(i + 1) % points.length]!.normal;
            expect(normal.x * next.y - normal.y * next.x).toBeGreaterThanOrEqual(-1e-12);
          });
        },
      ),
      { numRuns: 20 },
    );
  });
});

const foam = (thicknessMm: number, neutralK = 0.5) => ({ thicknessMm, neutralK });
const piece = (name: string, wrapMm: number, thicknessMm = 10, underMm = 0): RoundPiece => ({
  name,
  wrapMm,
  foam: foam(thicknessMm),
  underMm,
});
const closings: readonly ClosesAt[] = ['front', 'back', 'beside-first'];

describe('pieces laid round a head', () => {
  test.each(closings)('of the length that the formula asks for leave no gap, closed at %s', (closesAt) => {
    // Two roads to one length: the walk round the oval's parallel curve, and Steiner's 2 pi d in wrapLengthMm.
    const wanted = wrapLengthMm({
      girthMm: 574.4,
      easeMm: 8,
      coverageRad: 2 * Math.PI,
      foam: foam(10),
      underMm: 3,
    });
    const pieces = [0.3, 0.2, 0.3, 0.2].map((share, i) => piece(`p${i}`, share * wanted, 10, 3));
    expect(layRound(MAN, 8, pieces, closesAt).gapMm).toBeCloseTo(0, 1);
  });

  test('cut in 10 mm foam as if it were paper they stay 31.4 mm open (FACTS section 3)', () => {
    const { gapMm, closing } = layRound(MAN, 0, [piece('band', MAN.girthMm)], 'back');
    expect(gapMm).toBeCloseTo(31.4, 1);
    expect(closing.at.y).toBeCloseTo(-MAN.lengthMm / 2, 1);
    expect(closing.at.x).toBeCloseTo(0, 1);
  });

  test('too long by 12 mm they lie over each other by 12 mm', () => {
    const wanted = wrapLengthMm({
      girthMm: WOMAN.girthMm,
      easeMm: 0,
      coverageRad: 2 * Math.PI,
      foam: foam(6),
    });
    expect(
      layRound(WOMAN, 0, [piece('a', wanted / 2 + 12, 6), piece('b', wanted / 2, 6)], 'front').gapMm,
    ).toBeCloseTo(-12, 1);
  });

  test('each is as long on its neutral surface as it is cut, and as thick as its foam', () => {
    const pieces = [piece('front', 180, 10), piece('left', 120, 5, 4), piece('back', 170, 8)];
    const laid = layRound(LARGE, 12, pieces, 'beside-first');
    laid.pieces.forEach(({ inner, outer }, i) => {
      inner.forEach((point, k) =>
        expect(distanceMm(point, outer[k]!)).toBeCloseTo(pieces[i]!.foam.thicknessMm, 1),
      );
      const middle = inner.map(({ x, y }, k) => ({ x: (x + outer[k]!.x) / 2, y: (y + outer[k]!.y) / 2 }));
      expect(polylineLengthMm(middle, false)).toBeCloseTo(pieces[i]!.wrapMm, 1);
    });
  });

  test('the first sits in the middle of the brow when it closes beside it; the left follows by the left', () => {
    const wanted = wrapLengthMm({ girthMm: MAN.girthMm, easeMm: 0, coverageRad: 2 * Math.PI, foam: foam(5) });
    const pieces = ['front', 'left', 'back', 'right'].map((name) => piece(name, wanted / 4, 5));
    const laid = layRound(MAN, 0, pieces, 'beside-first');
    const [front, left] = laid.pieces;
    expect(front!.fromMm).toBeCloseTo(-front!.toMm, 1);
    // From above with the brow up, the wearer's left lies at the left.
    expect(left!.inner[Math.floor(left!.inner.length / 2)]!.x).toBeLessThan(0);
    expect(laid.seams.map(({ between }) => between)).toEqual([
      ['front', 'left'],
      ['left', 'back'],
      ['back', 'right'],
    ]);
    const [first, second, third] = laid.seams;
    expect(first!.fromBrowMm).toBeCloseTo(front!.toMm, 6);
    expect(first!.at.at.x).toBeLessThan(0);
    expect(second!.fromBrowMm).toBeCloseTo(-third!.fromBrowMm, 0);
    expect(laid.closing.at.x).toBeCloseTo(-first!.at.at.x, 1);
  });

  test.each(closings)('a gap at %s lies where it was asked for', (closesAt) => {
    const { closing, gapMm, pieces } = layRound(MAN, 0, [piece('a', 260, 4), piece('b', 250, 4)], closesAt);
    expect(gapMm).toBeCloseTo(MAN.girthMm + 4 * Math.PI - 510, 1);
    if (closesAt === 'front') expect(closing.at.y).toBeCloseTo(MAN.lengthMm / 2, 1);
    if (closesAt === 'back') expect(closing.at.y).toBeCloseTo(-MAN.lengthMm / 2, 1);
    if (closesAt === 'beside-first') expect(pieces[0]!.fromMm).toBeCloseTo(-pieces[0]!.toMm, 1);
  });

  test('shares of the girth and the gap make up the whole way round', () => {
    const laid = layRound(MAN, 0, [piece('a', 200, 4), piece('b', 150, 10), piece('c', 120, 6)], 'front');
    const covered = laid.pieces.reduce((sum, { share }) => sum + share, 0);
    expect(covered).toBeLessThan(1);
    expect(laid.gapMm / (MAN.girthMm + Math.PI * 5)).toBeCloseTo(1 - covered, 1);
  });

  test('without pieces the whole way round is open', () => {
    expect(layRound(MAN, 0, [], 'back')).toMatchObject({ pieces: [], seams: [] });
  });
});
