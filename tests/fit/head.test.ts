import { describe, expect, test } from 'vitest';
import { ANSUR_GIRTH_MM, girthSense } from '../../src/fit/girth-sense.ts';
import { hatSizeOf } from '../../src/fit/hat-size.ts';
import { ansurColumn, percentile } from './ansur.ts';

describe('head girth', () => {
  test('the percentiles in the code are those of ANSUR II, computed afresh', () => {
    const [men, women] = [ansurColumn('M', 'headcircumference_mm'), ansurColumn('F', 'headcircumference_mm')];
    expect([men.length, women.length]).toEqual([4082, 1986]);
    for (const [stated, girths] of [
      [ANSUR_GIRTH_MM.men, men],
      [ANSUR_GIRTH_MM.women, women],
    ] as const) {
      expect(Math.round(percentile(girths, 1))).toBe(stated.p1);
      expect(Math.round(percentile(girths, 50))).toBe(stated.p50);
      expect(Math.round(percentile(girths, 99))).toBe(stated.p99);
    }
    expect(Math.min(...men, ...women)).toBe(ANSUR_GIRTH_MM.smallest);
    expect(Math.max(...men, ...women)).toBe(ANSUR_GIRTH_MM.largest);
  });

  test('a usual girth passes in silence, a rare one with a kind word, an impossible one with the likely slip', () => {
    expect(girthSense(580)).toEqual({ kind: 'usual', message: '' });
    expect(girthSense(515).kind).toBe('unusual');
    expect(girthSense(660).kind).toBe('unlikely');
    expect(girthSense(58).message).toContain('580 mm');
    expect(girthSense(23).message).toContain('584 mm');
    expect(girthSense(Number.NaN).kind).toBe('unusable');
  });
});

describe('hat sizes', () => {
  // Hat-size table of FACTS section 2.7, every row; 57 cm = 7 1/8 = UK 7 is also in a published chart.
  test.each([
    [520, '6 1/2', '6 3/8', 'XXS'],
    [530, '6 5/8', '6 1/2', 'XS'],
    [540, '6 3/4', '6 5/8', 'XS'],
    [550, '6 7/8', '6 3/4', 'S'],
    [560, '7', '6 7/8', 'S'],
    [570, '7 1/8', '7', 'M'],
    [580, '7 1/4', '7 1/8', 'M'],
    [590, '7 3/8', '7 1/4', 'L'],
    [600, '7 1/2', '7 3/8', 'L'],
    [610, '7 5/8', '7 1/2', 'XL'],
    [620, '7 3/4', '7 5/8', 'XL'],
    [630, '7 7/8', '7 3/4', 'XXL'],
    [640, '8', '7 7/8', 'XXL'],
  ])('%d mm is US %s, UK %s, band %s', (girthMm, us, uk, band) => {
    expect(hatSizeOf(girthMm)).toEqual({ us, uk, euCm: girthMm / 10, band });
  });

  test('22 in is a US 7 and 23 1/4 in a 7 3/8 (published converter)', () => {
    expect(hatSizeOf(22 * 25.4).us).toBe('7');
    expect(hatSizeOf(23.25 * 25.4).us).toBe('7 3/8');
  });

  test('outside the bands there is no letter', () => {
    expect(hatSizeOf(480).band).toBeUndefined();
    expect(hatSizeOf(680).band).toBeUndefined();
  });
});
