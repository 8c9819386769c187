/** Checks a printer by a photo of an uncut page of scale cards. */
import { failure, type Outcome, type Progress, success } from '../outcome.ts';
import { findMarkers } from '../vision/markers.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { BAR_ACROSS_MM, BAR_ALONG_MM, CARD_COUNT } from './card.ts';
import { CARDS_HEIGHT_MM, CARDS_PER_PAGE, CARDS_WIDTH_MM, cardCentreOnPage } from './card-page-layout.ts';
import { type SeenCard, seeCard } from './card-points.ts';
import { LN_ACROSS, LN_ALONG } from './camera-parameters.ts';
import { fitPage, type PageFit, type PageMark } from './page-fit.ts';
import { printScaleByBankCard } from './print-by-bank-card.ts';
import { focalPriors, type Prior } from './priors.ts';
import { solve } from './solve.ts';
import type { BankCardReference, PhotoFacts, PrinterCheck } from './types.ts';

/** Check bars measured with a ruler, one of them or both; a photo of the page alone says nothing of absolute size. */
export interface MeasuredBars {
  readonly acrossMm?: number;
  readonly alongMm?: number;
}

export interface WithDoubt {
  readonly value: number;
  /** One sigma. */
  readonly tolerance: number;
}

/** What a photo of the page says of the printer. */
export interface PrintFinding {
  /** Cards of the page that were seen whole. */
  readonly cardIds: readonly number[];
  /** Size across the page over size along it, 1 when both are printed alike. */
  readonly ratio: WithDoubt;
  /** Turn of the page's upright towards its right, rad, beyond a right angle. */
  readonly skewRad: WithDoubt;
  /** True length of a printed millimetre, mean of both ways, where a bank card beside the page tells it. */
  readonly scale?: WithDoubt;
  /** Tilt of the camera over the page, rad: the squarer the photo, the surer the ratio. */
  readonly tiltRad: number;
  /** How far the page's marks lie from an evenly stretched page, RMS and at the worst mark, mm. */
  readonly unevenMm: { readonly rms: number; readonly worst: number; readonly worstCardId: number };
}

/** True size of a printed millimetre, both ways. */
export interface PrintSize {
  readonly acrossScale: WithDoubt;
  readonly alongScale: WithDoubt;
  /** What the two check bars come to: what is kept of a printer. */
  readonly check: PrinterCheck;
  /** How many sigmas both measured bars differ from the photo's ratio; left out for one bar alone. */
  readonly barsOffSigmas?: number;
}

export type PrinterErrorCode = 'no-page' | 'not-a-page' | 'no-bank-card';

/** Fewer cards than this leave the proportions to a corner of the page. */
const LEAST_CARDS = 4;
/** Marks farther than this from their places, RMS, are not those of one uncut page. */
const SCATTERED_MM = 1;
const BAR_READING_MM = 0.3;
/** The photo alone sees no absolute size: it is held while the camera is sought. */
const HELD = 1e-4;
const FREE_RATIO = 0.05;

const PRINT_BELIEFS: readonly Prior[] = [
  {
    terms: [
      [LN_ACROSS, 0.5],
      [LN_ALONG, 0.5],
    ],
    target: 0,
    sigma: HELD,
  },
  {
    terms: [
      [LN_ACROSS, 1],
      [LN_ALONG, -1],
    ],
    target: 0,
    sigma: FREE_RATIO,
  },
];

/** Marks of the page with the most cards, in the page's frame; each card once. */
function marksOfPage(cards: readonly SeenCard[]): readonly PageMark[] {
  const pageOf = ({ id }: SeenCard): number => Math.floor(id / CARDS_PER_PAGE);
  const onPage = (page: number): readonly SeenCard[] =>
    cards.filter((card) => pageOf(card) === page && cards.filter(({ id }) => id === card.id).length === 1);
  const pages = Array.from({ length: CARD_COUNT / CARDS_PER_PAGE }, (_, page) => onPage(page));
  const fullest = pages.sort((a, b) => b.length - a.length)[0]!;
  return fullest.flatMap(({ id, points }) => {
    const centre = cardCentreOnPage(id % CARDS_PER_PAGE);
    return points
      .filter(({ kind }) => kind === 'hourglass')
      .map(({ at, seen, sigmaPx }) => ({
        cardId: id,
        at: { x: centre.x + at.x - CARDS_WIDTH_MM / 2, y: centre.y + at.y - CARDS_HEIGHT_MM / 2 },
        seen,
        sigmaPx,
      }));
  });
}

function findingOf({ lnRatio, lnRatioSigma, skew, skewSigma, tiltRad, missesMm }: PageFit): PrintFinding {
  const worst = missesMm.reduce((a, b) => (b.missMm > a.missMm ? b : a));
  return {
    cardIds: [...new Set(missesMm.map(({ cardId }) => cardId))].sort((a, b) => a - b),
    ratio: { value: Math.exp(lnRatio), tolerance: Math.exp(lnRatio) * lnRatioSigma },
    skewRad: { value: Math.atan(skew), tolerance: skewSigma },
    tiltRad,
    unevenMm: {
      rms: Math.sqrt(missesMm.reduce((sum, { missMm }) => sum + missMm ** 2, 0) / missesMm.length),
      worst: worst.missMm,
      worstCardId: worst.cardId,
    },
  };
}

/** Fits the page through a camera that was sought with the marks moved by a skew known beforehand. */
function fitMarks(
  marks: readonly PageMark[],
  skew: number,
  size: { readonly widthPx: number; readonly heightPx: number },
  facts: PhotoFacts,
): PageFit | undefined {
  const points = marks.map(({ at, seen, sigmaPx }, index) => ({
    kind: 'hourglass' as const,
    index,
    at: { x: at.x + skew * at.y, y: at.y },
    seen,
    sigmaPx,
  }));
  const solution = solve({
    cards: [],
    references: [{ points }],
    tapes: [],
    widthPx: size.widthPx,
    heightPx: size.heightPx,
    focals: focalPriors(facts, size.widthPx, size.heightPx),
    print: PRINT_BELIEFS,
  });
  return solution && fitPage(solution.state.camera, marks, solution.problem.priors);
}

/** The printer from what a photo of `size` shows of the page's cards. */
export function printOfPage(
  cards: readonly SeenCard[],
  size: { readonly widthPx: number; readonly heightPx: number },
  facts: PhotoFacts,
): Outcome<PrintFinding, PrinterErrorCode> {
  const marks = marksOfPage(cards);
  const seen = new Set(marks.map(({ cardId }) => cardId)).size;
  if (seen < LEAST_CARDS) {
    return failure(
      'no-page',
      `Only ${seen} cards of one page could be read, too few to tell how the printer stretches. ` +
        'Lay an uncut card page flat, photograph all six cards from straight above in even light, and try again.',
    );
  }
  const upright = fitMarks(marks, 0, size, facts);
  // A skewed page drives the solve away from the lens that EXIF names: once more with the skew straightened.
  const fit = upright && fitMarks(marks, upright.skew, size, facts);
  const finding = fit && findingOf(fit);
  if (!finding || finding.unevenMm.rms > SCATTERED_MM) {
    const howFar = finding ? ` (they are up to ${finding.unevenMm.worst.toFixed(1)} mm off)` : '';
    return failure(
      'not-a-page',
      `The cards do not lie in their places on one uncut, flat page${howFar}, so they say nothing of the printer. ` +
        'Print a card page afresh, tape it down flat and photograph it before cutting.',
    );
  }
  return success(finding);
}

/**
 * The printer by a photo of one uncut card page (cards 0 to 5 or 6 to 11): proportions, skew and unevenness with
 * their doubt. Absolute size follows with a measured bar, `printSize`, or from a bank card that lies beside the page
 * (`nearPx`: where its corners were pointed out, when it is not found by itself).
 * Problems come as values.
 */
export function verifyPrinter(
  vision: Vision,
  photo: Raster,
  facts: PhotoFacts,
  progress?: Progress,
  bankCard?: BankCardReference,
): Outcome<PrintFinding, PrinterErrorCode> {
  progress?.('looking for the card page', 0);
  const markers = findMarkers(vision, photo, CARD_COUNT);
  progress?.("measuring the page's marks", 0.5);
  const cards = markers.flatMap((marker) => seeCard(photo, marker) ?? []);
  progress?.('working out the print', 0.8);
  const page = printOfPage(cards, { widthPx: photo.width, heightPx: photo.height }, facts);
  if (!page.ok || !bankCard) return page;
  const size = printScaleByBankCard(vision, photo, facts, bankCard, progress);
  return 'scale' in size
    ? success({ ...page.value, scale: size.scale })
    : failure('no-bank-card', size.missing);
}

/**
 * Absolute size from the photo's proportions and a bank card or one or both check bars (least squares in the
 * logarithms); undefined without any, for then nothing says how large the page is.
 */
export function printSize({ ratio, scale }: PrintFinding, bars: MeasuredBars): PrintSize | undefined {
  const { acrossMm, alongMm } = bars;
  if (acrossMm === undefined && alongMm === undefined && !scale) return undefined;
  const lnRatio = Math.log(ratio.value);
  const ratioWeight = (ratio.value / ratio.tolerance) ** 2;
  const barWeight = (nominalMm: number, mm: number | undefined): number =>
    mm === undefined ? 0 : (nominalMm / BAR_READING_MM) ** 2;
  const [wa, wb] = [barWeight(BAR_ACROSS_MM, acrossMm), barWeight(BAR_ALONG_MM, alongMm)];
  const lnAcross = Math.log((acrossMm ?? BAR_ACROSS_MM) / BAR_ACROSS_MM);
  const lnAlong = Math.log((alongMm ?? BAR_ALONG_MM) / BAR_ALONG_MM);
  // A bank card tells half the sum: a row of (1/2, 1/2).
  const [lnScale, quarter] = scale
    ? [Math.log(scale.value), (scale.value / scale.tolerance) ** 2 / 4]
    : [0, 0];
  // Unknown ln(across), ln(along); measured: each bar, and their difference by the photo.
  const [aa, ab, bb] = [wa + ratioWeight + quarter, quarter - ratioWeight, wb + ratioWeight + quarter];
  const [ra, rb] = [
    wa * lnAcross + ratioWeight * lnRatio + 2 * quarter * lnScale,
    wb * lnAlong - ratioWeight * lnRatio + 2 * quarter * lnScale,
  ];
  const determinant = aa * bb - ab * ab;
  const across = Math.exp((bb * ra - ab * rb) / determinant);
  const along = Math.exp((aa * rb - ab * ra) / determinant);
  const isBoth = acrossMm !== undefined && alongMm !== undefined;
  return {
    acrossScale: { value: across, tolerance: across * Math.sqrt(bb / determinant) },
    alongScale: { value: along, tolerance: along * Math.sqrt(aa / determinant) },
    check: { acrossMm: across * BAR_ACROSS_MM, alongMm: along * BAR_ALONG_MM },
    ...(isBoth && {
      barsOffSigmas: Math.abs(lnAcross - lnAlong - lnRatio) / Math.sqrt(1 / wa + 1 / wb + 1 / ratioWeight),
    }),
  };
}
