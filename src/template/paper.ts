import { BAR_ACROSS_MM, BAR_ALONG_MM } from '../capture/card.ts';
import type { PrinterCheck } from '../capture/types.ts';
import type { Problem } from '../outcome.ts';

export type PaperName = 'A4' | 'Letter' | 'A3' | 'Tabloid';

export interface PaperSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Upright sheets: ISO 216 (A4, A3) and ANSI/ASME Y14.1 A and B (8.5 x 11 in, 11 x 17 in). */
export const PAPER_SIZES: Readonly<Record<PaperName, PaperSize>> = {
  A4: { widthMm: 210, heightMm: 297 },
  Letter: { widthMm: 215.9, heightMm: 279.4 },
  A3: { widthMm: 297, heightMm: 420 },
  Tabloid: { widthMm: 279.4, heightMm: 431.8 },
};

/** Printed length of a drawn millimetre: below 1 the printer prints small. */
export interface PrinterScale {
  readonly across: number;
  readonly along: number;
}

/** The scale of a printer whose check bars were measured. */
export function printerScaleOf({ acrossMm, alongMm }: PrinterCheck): PrinterScale {
  return { across: acrossMm / BAR_ACROSS_MM, along: alongMm / BAR_ALONG_MM };
}

export interface TemplatePageSetup {
  readonly paper: PaperName;
  /** Kept free along every edge of the paper, mm. */
  readonly marginMm: number;
  /** Strip shared by neighbouring sheets of a piece that needs several, mm; 0 = butt edges. */
  readonly overlapMm: number;
  /** As measured with the check bars; the drawing is divided by it, so that the print comes out true. */
  readonly printerScale?: PrinterScale;
}

/** Height of the line of text at the foot of every sheet, mm. */
export const FOOTER_MM = 9;
/** Each sheet must have room for its check square and some pattern beside. */
const SMALLEST_SIDE_MM = 110;
/** Beyond this the printer was measured wrongly, or scales the page to fit. */
const PLAUSIBLE_SCALE: readonly [number, number] = [0.8, 1.25];

/**
 * Where a sheet's drawing lies. The sheet frame has its origin at the lower left corner of the pattern
 * area, x right, y up, in true mm as measured on the printed paper; the footer lies below, at negative y.
 */
export interface SheetFrame {
  readonly paper: PaperSize;
  /** Pattern area, true mm. */
  readonly widthMm: number;
  readonly heightMm: number;
  /** The sheet frame's origin on the page before printing, mm from the page's lower left corner. */
  readonly originOnPage: { readonly x: number; readonly y: number };
  readonly printerScale: PrinterScale;
}

/** The frame of every sheet of a page set-up. Throws for a set-up that `pageSetupProblem` names. */
export function sheetFrame(setup: TemplatePageSetup): SheetFrame {
  const problem = pageSetupProblem(setup);
  if (problem) throw new RangeError(problem.message);
  return unchecked(setup);
}

function unchecked({ paper: name, marginMm, printerScale }: TemplatePageSetup): SheetFrame {
  const paper = PAPER_SIZES[name];
  const scale = printerScale ?? { across: 1, along: 1 };
  // A printer that prints large would push the edge of the drawing into the margin.
  const widthMm = (paper.widthMm - 2 * marginMm) * Math.min(1, scale.across);
  const printableHeightMm = (paper.heightMm - 2 * marginMm) * Math.min(1, scale.along);
  return {
    paper,
    widthMm,
    heightMm: printableHeightMm - FOOTER_MM,
    originOnPage: {
      x: (paper.widthMm - widthMm / scale.across) / 2,
      y: (paper.heightMm - printableHeightMm / scale.along) / 2 + FOOTER_MM / scale.along,
    },
    printerScale: scale,
  };
}

export type PageSetupErrorCode = 'margin' | 'overlap' | 'printer-scale';

/** What is wrong with a page set-up, in words for the maker; undefined when it can be used. */
export function pageSetupProblem(setup: TemplatePageSetup): Problem<PageSetupErrorCode> | undefined {
  const { printerScale: scale, marginMm, overlapMm } = setup;
  const [least, most] = PLAUSIBLE_SCALE;
  if (scale && ![scale.across, scale.along].every((value) => value >= least && value <= most)) {
    return {
      code: 'printer-scale',
      message:
        'The check bars say that this printer is off by more than a fifth, so the template would be wrong. ' +
        'Print the card page again at 100 % and measure both bars.',
    };
  }
  const { widthMm, heightMm } = unchecked(setup);
  if (!(marginMm >= 0) || Math.min(widthMm, heightMm) < SMALLEST_SIDE_MM) {
    return {
      code: 'margin',
      message: `A margin of ${marginMm} mm leaves too little of the sheet for a pattern. Choose one between 4 and 20 mm.`,
    };
  }
  if (!(overlapMm >= 0) || overlapMm > Math.min(widthMm, heightMm) / 3) {
    return {
      code: 'overlap',
      message: `An overlap of ${overlapMm} mm leaves too little of each sheet. Choose one between 0 and 30 mm; 10 mm is usual.`,
    };
  }
  return undefined;
}
