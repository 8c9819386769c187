/** What is believed before looking at the picture: lens and print, each with its one-sigma doubt. */
import { BAR_ACROSS_MM, BAR_ALONG_MM } from './card.ts';
import { K1, K2, LN_ACROSS, LN_ALONG, LN_FOCAL, OFFSET_U, OFFSET_V } from './camera-parameters.ts';
import type { PhotoFacts, PrinterCheck } from './types.ts';

/** One belief: the sum of weight * unknown (absolute values, `CAMERA_PARAMETERS` then print) is `target`. */
export interface Prior {
  readonly terms: readonly (readonly [index: number, weight: number])[];
  readonly target: number;
  readonly sigma: number;
}

/** A belief about the focal length, px. */
export interface FocalPrior {
  readonly focalPx: number;
  /** One-sigma doubt of ln(focal length). */
  readonly sigma: number;
}

/** EXIF gives whole millimetres of a nominal lens. */
const EXIF_SIGMA = 0.02;
/** Phones' main lenses are 24-30 mm; others, and cropped pictures, are longer. */
const USUAL_FOCAL_35_MM = 27;
/** One-sigma doubt of ln(focal length) when nothing is known of the lens. */
export const UNKNOWN_FOCAL_SIGMA = 0.25;
/** The 35 mm frame: 36 x 24 mm, diagonal 43.27 mm. */
const FRAME_WIDTH_MM = 36;
const FRAME_DIAGONAL_MM = Math.hypot(36, 24);

/**
 * Focal lengths in pixels that an EXIF 35 mm equivalent can mean. CIPA DC-008 leaves open whether the frames'
 * diagonals or their widths are matched, and makers do both; on a 4:3 picture they differ by 4 %. Both are
 * returned and the solve decides; one alone, wide, when the header says nothing.
 */
export function focalPriors(facts: PhotoFacts, widthPx: number, heightPx: number): readonly FocalPrior[] {
  const byDiagonal = Math.hypot(widthPx, heightPx) / FRAME_DIAGONAL_MM;
  const equivalent = facts.focalLength35Mm;
  if (equivalent === undefined)
    return [{ focalPx: USUAL_FOCAL_35_MM * byDiagonal, sigma: UNKNOWN_FOCAL_SIGMA }];
  const byWidth = Math.max(widthPx, heightPx) / FRAME_WIDTH_MM;
  return [byWidth, byDiagonal].map((pxPerMm) => ({ focalPx: equivalent * pxPerMm, sigma: EXIF_SIGMA }));
}

/** Doubt of a check bar read with a ruler, mm. */
const BAR_READING_MM = 0.3;
/** Printers told to print at 100 % keep the size to about this (common practice, no source), both ways alike ... */
export const PRINT_SCALE_SIGMA = 0.005;
/** ... and the ratio of across to along to about this. */
const PRINT_RATIO_SIGMA = 0.005;
/** When a tape measures the picture, the print need not be trusted at all ("fit to page" shrinks by 3-6 %). */
const PRINT_SCALE_BESIDE_TAPE = 0.05;

/** Beliefs about the print's two scales. */
export function printPriors(printer: PrinterCheck | undefined, hasTape: boolean): readonly Prior[] {
  if (printer) {
    return [
      {
        terms: [[LN_ACROSS, 1]],
        target: Math.log(printer.acrossMm / BAR_ACROSS_MM),
        sigma: BAR_READING_MM / BAR_ACROSS_MM,
      },
      {
        terms: [[LN_ALONG, 1]],
        target: Math.log(printer.alongMm / BAR_ALONG_MM),
        sigma: BAR_READING_MM / BAR_ALONG_MM,
      },
    ];
  }
  return [
    {
      terms: [
        [LN_ACROSS, 0.5],
        [LN_ALONG, 0.5],
      ],
      target: 0,
      sigma: hasTape ? PRINT_SCALE_BESIDE_TAPE : PRINT_SCALE_SIGMA,
    },
    {
      terms: [
        [LN_ACROSS, 1],
        [LN_ALONG, -1],
      ],
      target: 0,
      sigma: PRINT_RATIO_SIGMA,
    },
  ];
}

const K1_SIGMA = 0.03;
const K2_SIGMA = 0.01;
/** Principal point: 12 px on a picture 4000 px long. */
const OFFSET_SIGMA_SHARE = 0.003;

/** Beliefs about the lens. */
export function lensPriors(focal: FocalPrior, longSidePx: number): readonly Prior[] {
  return [
    { terms: [[LN_FOCAL, 1]], target: Math.log(focal.focalPx), sigma: focal.sigma },
    { terms: [[K1, 1]], target: 0, sigma: K1_SIGMA },
    { terms: [[K2, 1]], target: 0, sigma: K2_SIGMA },
    { terms: [[OFFSET_U, 1]], target: 0, sigma: OFFSET_SIGMA_SHARE * longSidePx },
    { terms: [[OFFSET_V, 1]], target: 0, sigma: OFFSET_SIGMA_SHARE * longSidePx },
  ];
}
