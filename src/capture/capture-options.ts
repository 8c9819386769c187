/** Checks what the maker entered before anything is measured with it. */
import type { Problem } from '../outcome.ts';
import { BAR_ACROSS_MM, BAR_ALONG_MM } from './card.ts';
import { SHEET_SIZES } from './reference-shapes.ts';
import type { CaptureErrorCode, CaptureOptions, Reference } from './types.ts';

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

/** A sheet measured this much off its nominal size is another sheet, or a slip of the pen. */
const SHEET_RANGE = 0.03;
/** Two points nearer to each other than this share of the picture's long side say little of its scale. */
const CLOSEST_POINTS = 0.05;

/** What is wrong with a reference as entered. */
function referenceProblem(reference: Reference, longSidePx: number): string | undefined {
  if (reference.kind === 'sheet' && reference.measuredMm) {
    const { shortMm, longMm } = reference.measuredMm;
    const [short, long] = SHEET_SIZES[reference.sheet];
    if (Math.abs(shortMm / short - 1) < SHEET_RANGE && Math.abs(longMm / long - 1) < SHEET_RANGE)
      return undefined;
    return (
      `A sheet of ${shortMm} x ${longMm} mm is not ${reference.sheet} paper (${short} x ${long} mm), so it cannot be measured by. ` +
      'Measure its short and its long side again, or choose the paper that it is.'
    );
  }
  if (reference.kind !== 'two-points') return undefined;
  const { fromPx, toPx, distanceMm } = reference;
  if (!(distanceMm > 0 && Number.isFinite(distanceMm))) {
    return `A distance of ${distanceMm} mm between the two points cannot set the scale. Enter the measured distance in millimetres.`;
  }
  if (!(Math.hypot(toPx.u - fromPx.u, toPx.v - fromPx.v) >= CLOSEST_POINTS * longSidePx)) {
    return (
      'The two points lie so close together in the photo that every length would be a guess. ' +
      'Point at two places far apart, best right across the piece.'
    );
  }
  return undefined;
}

/** The first entry that cannot be right, or undefined. */
export function optionProblem(
  options: CaptureOptions,
  photo: { readonly width: number; readonly height: number },
): Problem<CaptureErrorCode> | undefined {
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
      `A doubt of ${thicknessDoubtMm} mm about the thickness makes no sense, so no tolerance can be stated. Enter a doubt of 0 mm or more.`,
    );
  }
  const bars =
    printer &&
    (barProblem('across', printer.acrossMm, BAR_ACROSS_MM) ??
      barProblem('along', printer.alongMm, BAR_ALONG_MM));
  if (bars !== undefined) return bad(bars);
  const { references } = options;
  if (references?.length === 0) {
    return bad(
      'Nothing was chosen to measure by, so no length is known. Choose scale cards or another thing of known size.',
    );
  }
  const longSidePx = Math.max(photo.width, photo.height);
  const wrong = references?.flatMap((reference) => referenceProblem(reference, longSidePx) ?? [])[0];
  if (wrong !== undefined) return bad(wrong);
  const tape = tapes.find(
    ({ lengthMm, doubtMm }) => !(lengthMm > 0 && doubtMm > 0 && Number.isFinite(lengthMm)),
  );
  if (tape) {
    return bad(
      `A tape distance of ${tape.lengthMm} mm, read to ${tape.doubtMm} mm, cannot be used to set the scale. ` +
        'Enter the measured distance in millimetres and how well it was read, both above 0.',
    );
  }
  return undefined;
}
