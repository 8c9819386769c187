/** From a marker in the photo to the card's measured points. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Marker } from '../vision/markers.ts';
import type { Raster } from '../vision/raster.ts';
import { CARD_CORNERS, MARK_CENTRES, SQUARE_CORNERS } from './card.ts';
import { applyHomography, fitHomography, homographySlope } from './homography.ts';
import { lightAt } from './light.ts';
import { fitSaddle, type SaddleFault } from './saddle.ts';
import { nearSquare, refineSquare } from './square-edges.ts';
import { median } from '../geometry/median.ts';

/** A point of a card, nominal place in the card's frame (mm, as printed at 100 %) and place in the photo. */
export interface SeenPoint {
  readonly kind: 'hourglass' | 'square-corner';
  /** Mark or corner 0..3: top left, top right, bottom right, bottom left. */
  readonly index: number;
  readonly at: PlanePoint;
  readonly seen: ImagePoint;
  /** One-sigma noise along each axis, px. */
  readonly sigmaPx: number;
}

/** Why a mark gave no point: over the border, something lies on it or has creased it, or light shines off it. */
type MarkFault = 'outside' | 'covered' | 'shining';

/** What the photo shows of one card. */
export interface SeenCard {
  readonly id: number;
  readonly points: readonly SeenPoint[];
  /** Marks that gave no point, and why. */
  readonly faults: readonly MarkFault[];
  /** True when the card's paper reaches over the picture's border. */
  readonly isCutOff: boolean;
  readonly pxPerMm: number;
  /** Blur of the marks' edges, px; undefined without a mark. */
  readonly blurPx: number | undefined;
  /** Largest light of ink as a share of its paper among the marks. */
  readonly inkShare: number;
}

/** What no fit can see: print and paper are even to about this much, mm, and the lens model to about that, px. */
const PRINT_NOISE_MM = 0.03;
const MODEL_NOISE_PX = 0.04;
/** Ink spread moves a square's sides by about this much, mm. */
const INK_SPREAD_MM = 0.06;
const SQUARE_NOISE_PX = 0.25;
/** A reflection is this much brighter than the card's paper elsewhere, or as bright as a picture can show. */
const SHINING_SHARE = 1.12;
const BRIGHTEST_LIGHT = 0.95;

/**
 * The card's points: its four hourglass marks, and where one of them is missing the square's corners as well.
 * Undefined when the marker cannot be a flat square of ours.
 */
export function seeCard(photo: Raster, marker: Marker): SeenCard | undefined {
  // Near enough to find the marks by; the square is only measured where a mark is missing.
  const near = nearSquare(photo, marker.cornersPx);
  const corners = near?.cornersPx ?? marker.cornersPx;
  const homography = fitHomography(SQUARE_CORNERS.map((at, i) => ({ at, seen: corners[i]! })));
  if (!homography) return undefined;
  const [a, b, c, d] = homographySlope(homography, { x: 0, y: 0 });
  const pxPerMm = Math.sqrt(Math.abs(a * d - b * c));
  const points: SeenPoint[] = [];
  const faults: { readonly fault: SaddleFault; readonly light: number }[] = [];
  const blurs: number[] = [];
  let inkShare = 0;
  let paper = 0;
  MARK_CENTRES.forEach((at, index) => {
    const predicted = applyHomography(homography, at);
    const outcome = fitSaddle(photo, predicted, homographySlope(homography, at));
    if ('fault' in outcome) {
      faults.push({ fault: outcome.fault, light: lightAt(photo, predicted.u, predicted.v) });
      return;
    }
    const { fit } = outcome;
    const sigmaPx = Math.hypot(fit.sigmaPx, MODEL_NOISE_PX, PRINT_NOISE_MM * pxPerMm);
    points.push({ kind: 'hourglass', index, at, seen: fit.at, sigmaPx });
    blurs.push(fit.blurPx);
    paper = Math.max(paper, fit.paper);
    inkShare = Math.max(inkShare, fit.ink / fit.paper);
  });
  if (points.length < 4) {
    const square = near && refineSquare(photo, marker.cornersPx, near);
    const own = square ? Math.hypot(square.sigmaPx, SQUARE_NOISE_PX) : 2;
    const sigmaPx = Math.hypot(own, INK_SPREAD_MM * pxPerMm);
    SQUARE_CORNERS.forEach((at, index) =>
      points.push({
        kind: 'square-corner',
        index,
        at,
        seen: (square?.cornersPx ?? corners)[index]!,
        sigmaPx,
      }),
    );
  }
  const isCutOff = CARD_CORNERS.map((at) => applyHomography(homography, at)).some(
    ({ u, v }) => u < 0 || v < 0 || u > photo.width - 1 || v > photo.height - 1,
  );
  return {
    id: marker.id,
    points,
    faults: faults.map(({ fault, light }) => {
      if (fault === 'outside') return fault;
      // White paper over a mark is as bright as the card; so is the card itself where a bend has moved the mark.
      const isShining = light > Math.min(BRIGHTEST_LIGHT, SHINING_SHARE * (paper || 1));
      return fault === 'faint' && isShining ? 'shining' : 'covered';
    }),
    isCutOff,
    pxPerMm,
    blurPx: blurs.length > 0 ? median(blurs) : undefined,
    inkShare,
  };
}
