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

  // The whole strip table of FACTS section 3: closed strip, K 0.5, no ease.
  const thicknesses = [2, 3, 5, 6, 8, 10, 12];
  test.each([
    [560, [566.28, 569.42, 575.71, 578.85, 585.13, 591.42, 597.7]],
    [570, [576.28, 579.42, 585.71, 588.85, 595.13, 601.42, 607.7]],
    [574, [580.28, 583.42, 589.71, 592.85, 599.13, 605.42, 611.7]],
    [580, [586.28, 589.42, 595.71, 598.85, 605.13, 611.42, 617.7]],
  ])('a head of %d mm takes the closed strips of the table', (girthMm, stripsMm) => {
    thicknesses.forEach((thicknessMm, i) => {
      expect(wrapLengthMm(need(girthMm, thicknessMm))).toBeCloseTo(stripsMm[i]!, 2);
    });
  });

  test('the neutral surface at the head takes the girth alone, at the outside 2 pi t more', () => {
    expect(wrapLengthMm(need(580, 10, 0))).toBe(580);
    expect(wrapLengthMm(need(580, 10, 1))).toBeCloseTo(580 + 20 * Math.PI, 9);
  });

  test('no coverage takes nothing, and ease counts in the share covered', () => {
    expect(wrapLengthMm({ ...need(580, 10), coverageRad: 0 })).toBe(0);
    expect(wrapLengthMm({ ...need(580, 10), coverageRad: Math.PI, easeMm: -12 })).toBeCloseTo(
      wrapLengthMm({ ...need(580, 10), coverageRad: Math.PI }) - 6,
      9,
    );
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
