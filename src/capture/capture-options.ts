/** Checks what the maker entered before anything is measured with it. */
import type { Problem } from '../outcome.ts';
import { BAR_ACROSS_MM, BAR_ALONG_MM } from './card.ts';
import type { CaptureErrorCode, CaptureOptions } from './types.ts';

const THICKEST_MM = 100;
/** A page shrunk or blown up by more than this is a slip of the pen. */
const PRINT_RANGE = 0.2;
/** Doubt of a thickness nobody measured, mm: paper, and anything thicker. */
const PAPER_MM = 0.5;
const PAPER_DOUBT_MM = 0.05;
const THICKNESS_DOUBT_MM = 0.5;

/** One-sigma doubt of the thickness in force, mm. */
export function thicknessDoubtOf({ thicknessMm, thicknessDoubtMm }: CaptureOptions): number {
  return thicknessDoubtMm ?? (thicknessMm <= PAPER_MM ? PAPER_DOUBT_MM : THICKNESS_DOUBT_MM);
}

function barProblem(name: string, measuredMm: number, nominalMm: number): string | undefined {
  if (Math.abs(measuredMm / nominalMm - 1) <= PRINT_RANGE) return undefined;
  return (
    `The check bar ${name} the page should measure about ${nominalMm} mm, but ${measuredMm} mm was entered, so the ` +
    'print cannot be corrected with it. Measure the bar again from end to end, in millimetres.'
  );
}

/** The first entry that cannot be right, or undefined. */
export function optionProblem(options: CaptureOptions): Problem<CaptureErrorCode> | undefined {
  const bad = (message: string): Problem<CaptureErrorCode> => ({ code: 'bad-option', message });
  const { thicknessMm, thicknessDoubtMm, printer, tapes = [] } = options;
  if (!(thicknessMm >= 0 && thicknessMm <= THICKEST_MM)) {
    return bad(
      `A thickness of ${thicknessMm} mm cannot be used: the outline would be measured on the wrong plane. ` +
        `Enter the thickness of the piece in the photo, from 0 to ${THICKEST_MM} mm.`,
    );
  }
  if (thicknessDoubtMm !== undefined && !(thicknessDoubtMm >= 0 && thicknessDoubtMm <= THICKEST_MM)) {
    return bad(
      `A thickness known to ±${thicknessDoubtMm} mm makes no sense, so no tolerance can be stated. Enter a doubt of 0 mm or more.`,
    );
  }
  const bars =
    printer &&
    (barProblem('across', printer.acrossMm, BAR_ACROSS_MM) ??
      barProblem('along', printer.alongMm, BAR_ALONG_MM));
  if (bars !== undefined) return bad(bars);
  const tape = tapes.find(
    ({ lengthMm, doubtMm }) => !(lengthMm > 0 && doubtMm > 0 && Number.isFinite(lengthMm)),
  );
  if (tape) {
    return bad(
      `A tape distance of ${tape.lengthMm} ± ${tape.doubtMm} mm cannot be used to set the scale. ` +
        'Enter the measured distance in millimetres and how well it was read, both above 0.',
    );
  }
  return undefined;
}
