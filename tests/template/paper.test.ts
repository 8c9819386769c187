import { describe, expect, it } from 'vitest';
import { FOOTER_MM, PAPER_SIZES, pageSetupProblem, sheetFrame } from '../../src/template/paper.ts';

const usual = { paper: 'A4', marginMm: 8, overlapMm: 10 } as const;

describe('paper sizes', () => {
  it('are those of ISO 216 and of ANSI/ASME Y14.1 A and B in whole inches', () => {
    expect(PAPER_SIZES.A4).toEqual({ widthMm: 210, heightMm: 297 });
    expect(PAPER_SIZES.A3).toEqual({ widthMm: 297, heightMm: 420 });
    const inches = ({ widthMm, heightMm }: { widthMm: number; heightMm: number }) => [
      widthMm / 25.4,
      heightMm / 25.4,
    ];
    expect(inches(PAPER_SIZES.Letter)).toEqual([8.5, 11]);
    expect(inches(PAPER_SIZES.Tabloid)[0]).toBeCloseTo(11, 12);
    expect(inches(PAPER_SIZES.Tabloid)[1]).toBeCloseTo(17, 12);
  });
});

describe('the sheet frame', () => {
  it('is the paper less its margins and the footer', () => {
    const frame = sheetFrame(usual);
    expect(frame.widthMm).toBe(210 - 16);
    expect(frame.heightMm).toBe(297 - 16 - FOOTER_MM);
    expect(frame.originOnPage).toEqual({ x: 8, y: 8 + FOOTER_MM });
  });

  it.each([0.95, 0.985, 1, 1.01, 1.08])('prints inside the margins at a printer scale of %f', (scale) => {
    const frame = sheetFrame({ ...usual, printerScale: { across: scale, along: scale } });
    // On the page before printing, and after the printer has scaled it about the middle of the paper.
    const drawnLeft = frame.originOnPage.x;
    const drawnRight = drawnLeft + frame.widthMm / scale;
    expect(drawnLeft).toBeGreaterThanOrEqual(8 - 1e-9);
    expect(drawnRight).toBeLessThanOrEqual(202 + 1e-9);
    const printed = (x: number): number => 105 + (x - 105) * scale;
    expect(printed(drawnLeft)).toBeGreaterThanOrEqual(8 - 1e-9);
    expect(printed(drawnRight) - printed(drawnLeft)).toBeCloseTo(frame.widthMm, 9);
  });
});

describe('page set-ups', () => {
  it('that can be used have no problem', () => {
    for (const paper of ['A4', 'Letter', 'A3', 'Tabloid'] as const) {
      for (const marginMm of [0, 4, 8, 20]) {
        for (const overlapMm of [0, 10, 30])
          expect(pageSetupProblem({ paper, marginMm, overlapMm })).toBeUndefined();
      }
    }
  });

  it.each([
    ['margin', { marginMm: -1 }],
    ['margin', { marginMm: 60 }],
    ['margin', { marginMm: Number.NaN }],
    ['overlap', { overlapMm: -0.1 }],
    ['overlap', { overlapMm: 100 }],
    ['overlap', { overlapMm: Number.NaN }],
    ['printer-scale', { printerScale: { across: 0.5, along: 1 } }],
    ['printer-scale', { printerScale: { across: 1, along: Number.NaN } }],
  ])('with a wrong %s are named in words, and refused by the layout', (code, wrong) => {
    const setup = { ...usual, ...wrong };
    const problem = pageSetupProblem(setup);
    expect(problem?.code).toBe(code);
    expect(problem?.message).toMatch(/\. |\.$/);
    expect(() => sheetFrame(setup)).toThrow(RangeError);
  });
});
