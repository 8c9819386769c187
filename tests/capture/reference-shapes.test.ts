import { describe, expect, it } from 'vitest';
import {
  BANK_CARD,
  BANK_CARD_RADIUS_MM,
  SHEET_SIZES,
  sheetShape,
} from '../../src/capture/reference-shapes.ts';

describe('sizes of the things a photo is measured by', () => {
  it('a bank card is ID-1 of ISO/IEC 7810: 85.60 x 53.98 mm, radius 3.18 mm within 2.88 to 3.48, 0.76 mm thick', () => {
    expect([BANK_CARD.widthMm, BANK_CARD.heightMm]).toEqual([85.6, 53.98]);
    expect(BANK_CARD_RADIUS_MM).toBeGreaterThanOrEqual(2.88);
    expect(BANK_CARD_RADIUS_MM).toBeLessThanOrEqual(3.48);
    expect(BANK_CARD.faceHeightMm).toBe(0.76);
    // 3.370 x 2.125 in, as the standard gives it as well.
    expect(Math.abs(BANK_CARD.widthMm - 3.37 * 25.4)).toBeLessThan(0.01);
    expect(Math.abs(BANK_CARD.heightMm - 2.125 * 25.4)).toBeLessThan(0.01);
  });

  it("doubts of a card's sides cover the edge limits of an unused card (85.47-85.72 x 53.92-54.03 mm; from memory)", () => {
    const twoSigma = 2 * Math.SQRT2 * BANK_CARD.shiftDoubtMm;
    for (const limit of [85.47, 85.72]) expect(Math.abs(limit - BANK_CARD.widthMm)).toBeLessThan(twoSigma);
    for (const limit of [53.92, 54.03]) expect(Math.abs(limit - BANK_CARD.heightMm)).toBeLessThan(twoSigma);
  });

  it('A4 and A3 are those of ISO 216, Letter is ANSI/ASME Y14.1 size A', () => {
    expect(SHEET_SIZES.A4).toEqual([210, 297]);
    expect(SHEET_SIZES.A3).toEqual([297, 420]);
    expect(SHEET_SIZES.Letter[0]).toBeCloseTo(8.5 * 25.4, 9);
    expect(SHEET_SIZES.Letter[1]).toBeCloseTo(11 * 25.4, 9);
    // Halved across the long side, an A sheet gives the next: sides stand as the root of two, to a millimetre.
    for (const [short, long] of [SHEET_SIZES.A4, SHEET_SIZES.A3])
      expect(Math.abs(short * Math.SQRT2 - long)).toBeLessThan(1);
  });

  it("an unmeasured sheet is doubted by ISO 216's ±2 mm (sides of 150 to 600 mm), a measured one by the ruler's reading", () => {
    // A size is off at both of its sides; 2 mm either way, all equally likely, is 1.15 mm one sigma.
    const sizeDoubt = (shape: ReturnType<typeof sheetShape>) => Math.SQRT2 * shape.shiftDoubtMm;
    expect(sizeDoubt(sheetShape('A4'))).toBeGreaterThan(2 / Math.sqrt(3));
    expect(sizeDoubt(sheetShape('A4', { shortMm: 209.6, longMm: 297.2 }))).toBeLessThan(0.5);
    expect(sheetShape('A4', { shortMm: 209.6, longMm: 297.2 })).toMatchObject({
      widthMm: 297.2,
      heightMm: 209.6,
    });
  });
});
