import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type BendTest, neutralFromBend } from '../../src/fit/bend-test.ts';
import { bendAllowanceMm, wrapDoubtMm, wrapLengthMm } from '../../src/fit/wrap-length.ts';

const READING = 0.5;

function measured(test: BendTest, thicknessMm: number) {
  const outcome = neutralFromBend(test, thicknessMm);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

describe('a test strip round a tin', () => {
  test('gives back the K that a strip was bent with, whatever gap it leaves', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.02, max: 0.98, noNaN: true }),
        fc.double({ min: 150, max: 700, noNaN: true }),
        fc.double({ min: 2, max: 12, noNaN: true }),
        fc.double({ min: -0.2, max: 0.3, noNaN: true }),
        (neutralK, drumMm, thicknessMm, gapShare) => {
          const radiusMm = drumMm / (2 * Math.PI);
          const turnRad = 2 * Math.PI * (1 - gapShare);
          const stripMm = bendAllowanceMm(turnRad, radiusMm, { thicknessMm, neutralK });
          const test = { stripMm, drumMm, gapMm: gapShare * drumMm, readingMm: READING };
          expect(measured(test, thicknessMm).neutralK).toBeCloseTo(neutralK, 6);
        },
      ),
    );
  });

  test('ends that just meet give the simple formula K = (strip - girth) / (2 pi t)', () => {
    const test = { stripMm: 340, drumMm: 310, gapMm: 0, readingMm: READING };
    expect(measured(test, 10).neutralK).toBeCloseTo(30 / (2 * Math.PI * 10), 9);
  });

  test('the K of sheet-metal work, 0.33, comes out of its published bend (R 3, T 2, 90 degrees, 5.7491)', () => {
    // A quarter turn: three quarters of the tin stay bare, more than a maker's strip may leave, so twice the bend.
    const drumMm = 2 * Math.PI * 3;
    const test = { stripMm: 2 * 5.7491, drumMm, gapMm: drumMm / 2, readingMm: READING };
    expect(measured(test, 2).neutralK).toBeCloseTo(0.33, 4);
  });

  test('its doubt is that of readings scattered as stated (Monte Carlo)', () => {
    const test = { stripMm: 320, drumMm: 300, gapMm: 12, readingMm: READING };
    let seed = 7;
    const random = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
    const scatter = (sigma: number) =>
      sigma * Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
    const { neutralK, doubtK } = measured(test, 8);
    const tries = Array.from({ length: 20_000 }, () => {
      const read = {
        ...test,
        stripMm: 320 + scatter(READING),
        drumMm: 300 + scatter(READING),
        gapMm: 12 + scatter(READING),
      };
      return measured(read, 8 + scatter(0.2)).neutralK;
    });
    const middle = tries.reduce((sum, k) => sum + k, 0) / tries.length;
    const spread = Math.sqrt(tries.reduce((sum, k) => sum + (k - middle) ** 2, 0) / tries.length);
    expect(middle).toBeCloseTo(neutralK, 2);
    expect(spread / doubtK).toBeGreaterThan(0.95);
    expect(spread / doubtK).toBeLessThan(1.05);
  });

  test('leaves a closed band with a doubt of a millimetre or two, thick or thin', () => {
    for (const thicknessMm of [3, 10]) {
      const stripMm = 570 + Math.PI * thicknessMm;
      const { doubtK } = measured({ stripMm, drumMm: 570, gapMm: 0, readingMm: READING }, thicknessMm);
      const doubtMm = wrapDoubtMm({
        coverageRad: 2 * Math.PI,
        foam: { thicknessMm, neutralK: 0.5, doubtK },
      })!;
      expect(doubtMm).toBeGreaterThan(0.8);
      expect(doubtMm).toBeLessThan(1.5);
    }
    expect(wrapDoubtMm({ coverageRad: 1, foam: { thicknessMm: 5, neutralK: 0.5 } })).toBeUndefined();
  });

  test.each([
    ['unlike-a-strip', { stripMm: 100, drumMm: 300, gapMm: 200, readingMm: 0.5 }, 5],
    ['unlike-a-strip', { stripMm: 0, drumMm: 300, gapMm: 0, readingMm: 0.5 }, 5],
    ['unlike-a-strip', { stripMm: 300, drumMm: 300, gapMm: 0, readingMm: 0.5 }, 0],
    ['unlike-a-strip', { stripMm: 300, drumMm: 0, gapMm: Number.NaN, readingMm: 0.5 }, 5],
    ['outside-the-foam', { stripMm: 400, drumMm: 300, gapMm: 0, readingMm: 0.5 }, 5],
    ['outside-the-foam', { stripMm: 290, drumMm: 300, gapMm: 0, readingMm: 0.5 }, 5],
  ] as const)('refuses in words: %s %j', (code, test, thicknessMm) => {
    const outcome = neutralFromBend(test, thicknessMm);
    expect(outcome.ok ? '' : outcome.problem.code).toBe(code);
  });
});

describe('layers', () => {
  const all = { girthMm: 580, easeMm: 0, coverageRad: 2 * Math.PI };
  const foam = (thicknessMm: number) => ({ thicknessMm, neutralK: 0.5 });

  test('a second layer of 5 over a first of 10 takes C + 2 pi t1 + pi t2 (FACTS section 3)', () => {
    expect(wrapLengthMm({ ...all, foam: foam(5), underMm: 10 })).toBeCloseTo(
      580 + 2 * Math.PI * 10 + Math.PI * 5,
      9,
    );
  });

  test('it is as long as a band round the first layer, whose girth has grown', () => {
    const overFirst = wrapLengthMm({ ...all, girthMm: 580 + 2 * Math.PI * 10, foam: foam(5) });
    expect(wrapLengthMm({ ...all, foam: foam(5), underMm: 10 })).toBeCloseTo(overFirst, 9);
  });
});
