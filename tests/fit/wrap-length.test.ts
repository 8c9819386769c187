import { describe, expect, test } from 'vitest';
import { pathLengthMm } from '../../src/geometry/measure.ts';
import { bendAllowanceMm, foamDifferenceMm, wrapLengthMm } from '../../src/fit/wrap-length.ts';
import { polylinePath } from '../../src/geometry/path.ts';

const allRound = 2 * Math.PI;
const need = (girthMm: number, thicknessMm: number, neutralK = 0.5) => ({
  girthMm,
  easeMm: 0,
  coverageRad: allRound,
  foam: { thicknessMm, neutralK },
});

describe('wrap length', () => {
  test('a rolled plate of 10 mm, 650 mm outside, is cut 2011 mm long (TAFE NSW rolled cylinder example)', () => {
    const insideGirthMm = Math.PI * (650 - 2 * 10);
    expect(Math.round(wrapLengthMm(need(insideGirthMm, 10)))).toBe(2011);
  });

  test('a right-angle bend of R 3, T 2, K 0.33 takes 5.75 (published K-factor calculator example, 5.7491)', () => {
    expect(bendAllowanceMm(Math.PI / 2, 3, { thicknessMm: 2, neutralK: 0.33 })).toBeCloseTo(5.7491, 4);
  });

  // FACTS section 3, computed there: closed strip, K 0.5, no ease.
  test.each([
    [560, 2, 566.28],
    [570, 5, 585.71],
    [574, 12, 611.7],
    [580, 6, 598.85],
    [580, 8, 605.13],
    [580, 10, 611.42],
  ])('a head of %d mm in %d mm foam takes a closed strip of %f mm', (girthMm, thicknessMm, stripMm) => {
    expect(wrapLengthMm(need(girthMm, thicknessMm))).toBeCloseTo(stripMm, 2);
  });

  test('an oval head needs no circle: the curve 3 mm outside an ellipse of 100 x 77.5 is 578.7246 long (Steiner)', () => {
    const steps = 20_000;
    const points = Array.from({ length: steps }, (_, i) => {
      const a = (allRound * i) / steps;
      const normal = { x: 77.5 * Math.cos(a), y: 100 * Math.sin(a) };
      const size = Math.hypot(normal.x, normal.y);
      return { x: 100 * Math.cos(a) + (3 * normal.x) / size, y: 77.5 * Math.sin(a) + (3 * normal.y) / size };
    });
    const girth = 559.875; // perimeter of the ellipse, FACTS section 3
    expect(pathLengthMm(polylinePath(points, true))).toBeCloseTo(578.7246, 3);
    expect(wrapLengthMm(need(girth, 6))).toBeCloseTo(578.7246, 3);
  });

  test('pieces that share the way round add up to the closed band', () => {
    const front = { ...need(580, 8), easeMm: 6, coverageRad: 0.4 * allRound };
    const back = { ...front, coverageRad: 0.6 * allRound };
    expect(wrapLengthMm(front) + wrapLengthMm(back)).toBeCloseTo(
      wrapLengthMm({ ...need(580, 8), easeMm: 6 }),
      9,
    );
  });

  test('10 mm foam is cut 4 pi mm longer than 6 mm foam, all round', () => {
    const thick = { thicknessMm: 10, neutralK: 0.5 };
    const thin = { thicknessMm: 6, neutralK: 0.5 };
    expect(foamDifferenceMm(allRound, thick, thin)).toBeCloseTo(
      wrapLengthMm(need(580, 10)) - wrapLengthMm(need(580, 6)),
      9,
    );
    expect(foamDifferenceMm(allRound, thick, thin)).toBeCloseTo(4 * Math.PI, 9);
  });
});
