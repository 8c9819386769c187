/** Finds a bank card or a sheet of paper in a photo: by itself, or near four places that the maker pointed at. */
import { type ImagePoint, meanPlacePx } from '../geometry/point.ts';
import { colourPatches } from '../vision/colour-patches.ts';
import { type EdgeRectangle, edgeRectangles } from '../vision/edge-rectangles.ts';
import { fourSides } from '../vision/four-sides.ts';
import type { Vision } from '../vision/opencv.ts';
import type { Raster } from '../vision/raster.ts';
import { photoFromReduced, reducedFromPhoto, reducePhoto } from '../vision/reduce.ts';
import { findRegions, type Region } from '../vision/regions.ts';
import { edgeField, type ReducedBox } from '../vision/straight-edges.ts';
import { type FocalPrior, UNKNOWN_FOCAL_SIGMA } from './priors.ts';
import { hasOwnFace } from './reference-face.ts';
import { type SeenOutline, seeOutline } from './reference-outline.ts';
import type { ReferenceShape } from './reference-shapes.ts';
import { type SeenRectangle, seenRectangle } from './seen-rectangle.ts';

export interface ReferenceSearch {
  readonly shape: ReferenceShape;
  readonly focals: readonly FocalPrior[];
  /** Shapes that are something else: scale cards, and references found before (corners, px). */
  readonly known: readonly (readonly ImagePoint[])[];
  /** Looked for among straight edges too, where its outline is not one patch of colour: printed cards. */
  readonly isPrintedOn: boolean;
}

/** All shapes of the right proportions, the best first. */
export interface ReferenceSights {
  readonly fitting: readonly SeenOutline[];
  /** Proportions (long over short side) of the largest four-sided shape that did not fit. */
  readonly otherAspect: number | undefined;
}

/** Smaller regions, as a share of the photo, are no references. */
const SMALLEST_SHARE = 0.003;
/** Rough corners' sides are searched this far to either side, mm; tapped ones farther. */
const REACH_MM = 4;
const TAPPED_REACH_MM = 7;
/** So far away lines of a mat make near shapes as well: sides that are the card's fit to 0.7 of the limits (a hundred taps). */
const TAPPED_MISFIT = 0.8;
/** Proportions and right angles may be off by this much, with the focal length known and not. */
const KNOWN_LENS = { aspect: 0.035, skew: 0.05 };
const UNKNOWN_LENS = { aspect: 0.09, skew: 0.12 };
/** Rough corners may be off by more. */
const ROUGH = 2.5;
/** Regions are searched for straight edges with this margin, as a share of their longer side. */
const EDGE_MARGIN = 0.35;
/** Larger boxes, as a share of the picture, hold no card. */
const LARGEST_BOX = 0.3;
/** Proportions in the picture lie within these factors of the true ones; sides are at least this share of the box. */
const SEEN_PROPORTION = [0.65, 1.5] as const;
const LEAST_SIDE_SHARE = 0.25;
/** Only the best covered shapes are measured. */
const MOST_SHAPES = 12;
/** Two sightings this near to each other (share of the diagonal) are one. */
const SAME_SHAPE = 0.1;

interface Fit {
  readonly outline: SeenOutline;
  readonly misfit: number;
}

/** The search at work: what both ways of looking share. */
class Looker {
  private readonly centre: ImagePoint;
  private readonly limits: { readonly aspect: number; readonly skew: number };
  readonly wanted: number;

  constructor(
    private readonly photo: Raster,
    readonly search: ReferenceSearch,
  ) {
    this.centre = { u: (photo.width - 1) / 2, v: (photo.height - 1) / 2 };
    this.limits = search.focals.some(({ sigma }) => sigma < UNKNOWN_FOCAL_SIGMA) ? KNOWN_LENS : UNKNOWN_LENS;
    this.wanted = search.shape.widthMm / search.shape.heightMm;
  }

  /** What four corners are on the table by the reading of the focal length that suits them best. */
  rectangle(corners: readonly ImagePoint[]): SeenRectangle | undefined {
    const readings = this.search.focals.flatMap(
      ({ focalPx }) => seenRectangle(corners, focalPx, this.centre) ?? [],
    );
    return readings.sort((a, b) => Math.abs(a.skew) - Math.abs(b.skew))[0];
  }

  /** 0 for the very shape, 1 at the limit. */
  misfit({ aspect, skew }: SeenRectangle): number {
    return Math.max(
      Math.abs(Math.log(aspect / this.wanted)) / this.limits.aspect,
      Math.abs(skew) / this.limits.skew,
    );
  }

  /** Measures the shape at four rough corners, clockwise; undefined when it is not clearly seen or another shape. */
  measure(rough: readonly ImagePoint[], reachMm: number, slack: number, isPointed = false): Fit | undefined {
    const seen = this.rectangle(rough);
    if (!seen) return undefined;
    const corners = seen.aspect >= 1 ? rough : [...rough.slice(1), rough[0]!];
    const upright = seen.aspect >= 1 ? seen : { aspect: 1 / seen.aspect, skew: seen.skew };
    if (this.misfit(upright) > slack) return undefined;
    const misfitOf = (measured: readonly ImagePoint[]): number => {
      const rectangle = this.rectangle(measured);
      return rectangle ? this.misfit(rectangle) : Infinity;
    };
    const outline = seeOutline(this.photo, this.search.shape, corners, reachMm, misfitOf, isPointed, {
      focalPx: this.search.focals[0]!.focalPx,
      centre: this.centre,
    });
    if (!outline) return undefined;
    if (!isPointed && !hasOwnFace(this.photo, this.search.shape, outline)) return undefined;
    const misfit = misfitOf(outline.cornersPx);
    return misfit <= (outline.pointedSides > 0 ? ROUGH : 1) ? { outline, misfit } : undefined;
  }
}

function areaPx(corners: readonly ImagePoint[]): number {
  return Math.abs(
    corners.reduce((sum, p, i) => {
      const q = corners[(i + 1) % corners.length]!;
      return sum + (p.u * q.v - q.u * p.v) / 2;
    }, 0),
  );
}

/** Upright box round a region in reduced pixels. */
function boxRound(region: Region, block: number): ReducedBox {
  let box = { minU: Infinity, minV: Infinity, maxU: -Infinity, maxV: -Infinity };
  for (const { u, v } of region.outer) {
    const [a, b] = [reducedFromPhoto(u, block), reducedFromPhoto(v, block)];
    box = {
      minU: Math.min(box.minU, a),
      minV: Math.min(box.minV, b),
      maxU: Math.max(box.maxU, a),
      maxV: Math.max(box.maxV, b),
    };
  }
  return box;
}

const boxArea = ({ minU, minV, maxU, maxV }: ReducedBox): number => (maxU - minU) * (maxV - minV);

function withMargin({ minU, minV, maxU, maxV }: ReducedBox): ReducedBox {
  const margin = EDGE_MARGIN * Math.max(maxU - minU, maxV - minV);
  return { minU: minU - margin, minV: minV - margin, maxU: maxU + margin, maxV: maxV + margin };
}

/** Where straight edges are looked for: round each region, and round two that lie close by, since print may part a card; small boxes first. */
function edgeBoxes(regions: readonly Region[], block: number, pictureArea: number): ReducedBox[] {
  const boxes = regions.map((region) => boxRound(region, block));
  const pairs = boxes.flatMap((a, i) =>
    boxes.slice(i + 1).flatMap((b) => {
      const [one, other] = [withMargin(a), withMargin(b)];
      const apart =
        one.maxU < other.minU || other.maxU < one.minU || one.maxV < other.minV || other.maxV < one.minV;
      if (apart) return [];
      return [
        {
          minU: Math.min(a.minU, b.minU),
          minV: Math.min(a.minV, b.minV),
          maxU: Math.max(a.maxU, b.maxU),
          maxV: Math.max(a.maxV, b.maxV),
        },
      ];
    }),
  );
  return [...boxes, ...pairs]
    .filter((box) => boxArea(box) < LARGEST_BOX * pictureArea)
    .sort((a, b) => boxArea(a) - boxArea(b))
    .map(withMargin);
}

/** Shapes put together from straight edges, until some fit. */
function searchEdges(vision: Vision, photo: Raster, looker: Looker, regions: readonly Region[]): Fit[] {
  const reduced = reducePhoto(photo);
  const { block } = reduced;
  const field = edgeField(vision, reduced);
  const proportion = [
    Math.max(1, SEEN_PROPORTION[0] * looker.wanted),
    SEEN_PROPORTION[1] * looker.wanted,
  ] as const;
  const inPhoto = ({ corners }: EdgeRectangle): ImagePoint[] =>
    corners.map(({ u, v }) => ({ u: photoFromReduced(u, block), v: photoFromReduced(v, block) }));
  for (const box of edgeBoxes(regions, block, reduced.width * reduced.height)) {
    const leastPx =
      (LEAST_SIDE_SHARE * Math.min(box.maxU - box.minU, box.maxV - box.minV)) / (1 + 2 * EDGE_MARGIN);
    const likely = edgeRectangles(field, box, proportion, leastPx)
      .map(inPhoto)
      .filter((corners) => {
        const seen = looker.rectangle(corners);
        return seen && looker.misfit(seen.aspect >= 1 ? seen : { ...seen, aspect: 1 / seen.aspect }) < ROUGH;
      })
      .slice(0, MOST_SHAPES);
    const fits = likely.flatMap((corners) => looker.measure(corners, REACH_MM / 2, ROUGH) ?? []);
    if (fits.length > 0) return fits;
  }
  return [];
}

/** Four-sided shapes among the patches that differ from the table, where pieces are not told from cards. */
function searchPatches(vision: Vision, photo: Raster, looker: Looker): Fit[] {
  const { outlines, blockPx } = colourPatches(vision, photo, SMALLEST_SHARE * photo.width * photo.height);
  return outlines.flatMap((outline) => {
    const found = fourSides(outline, blockPx);
    return found ? (looker.measure(found.cornersPx, REACH_MM, ROUGH) ?? []) : [];
  });
}

/** How clearly a shape is the one that is looked for. */
function worth({ outline, misfit }: Fit): number {
  return outline.share - 0.5 * misfit;
}

/** The better one of sightings of the same shape. */
function withoutRepeats(fits: readonly Fit[]): Fit[] {
  const kept: Fit[] = [];
  for (const fit of [...fits].sort((a, b) => worth(b) - worth(a))) {
    const [p, , q] = fit.outline.cornersPx;
    const size = SAME_SHAPE * Math.hypot(p!.u - q!.u, p!.v - q!.v);
    const centre = ({ outline: { cornersPx } }: Fit): ImagePoint => meanPlacePx(cornersPx);
    const own = centre(fit);
    if (kept.every((other) => Math.hypot(centre(other).u - own.u, centre(other).v - own.v) > size))
      kept.push(fit);
  }
  return kept;
}

/** Everything in the photo that has the reference's shape, the likeliest first. */
export function searchReference(vision: Vision, photo: Raster, search: ReferenceSearch): ReferenceSights {
  const looker = new Looker(photo, search);
  const { regions, blockPx } = findRegions(vision, photo, search.known, {
    bias: 0,
    smallestAreaPx: SMALLEST_SHARE * photo.width * photo.height,
    smallestHolePx: Infinity,
  });
  const shapes = regions.flatMap(({ outer }) => {
    const found = fourSides(outer, blockPx);
    return found ? [found.cornersPx] : [];
  });
  let fits = shapes.flatMap((corners) => looker.measure(corners, REACH_MM, ROUGH) ?? []);
  if (fits.length === 0 && search.isPrintedOn) fits = searchPatches(vision, photo, looker);
  if (fits.length === 0 && search.isPrintedOn) fits = searchEdges(vision, photo, looker, regions);
  // A sheet may have smaller ones lying on it; of cards the clearest is meant.
  const rank = ({ outline, misfit }: Fit): number =>
    search.isPrintedOn ? worth({ outline, misfit }) : areaPx(outline.cornersPx);
  const ranked = withoutRepeats(fits).sort((a, b) => rank(b) - rank(a));
  const largest = [...shapes].sort((a, b) => areaPx(b) - areaPx(a))[0];
  const other = ranked.length === 0 && largest ? looker.rectangle(largest)?.aspect : undefined;
  return {
    fitting: ranked.map(({ outline }) => outline),
    otherAspect: other && Math.max(other, 1 / other),
  };
}

/** Corners found by themselves belong to the pointed ones when they lie within this share of the shape's diagonal. */
const POINTED_SHARE = 0.12;

/** The shape whose corners lie near four places, in any order; undefined when its sides are not seen there. */
export function searchNear(
  vision: Vision,
  photo: Raster,
  search: ReferenceSearch,
  nearPx: readonly ImagePoint[],
): SeenOutline | undefined {
  const centre = meanPlacePx(nearPx);
  const angle = ({ u, v }: ImagePoint): number => Math.atan2(v - centre.v, u - centre.u);
  const clockwise = [...nearPx].sort((a, b) => angle(a) - angle(b));
  const there = new Looker(photo, search).measure(clockwise, TAPPED_REACH_MM, Infinity, true);
  if (there && (there.outline.pointedSides > 0 || there.misfit < TAPPED_MISFIT)) return there.outline;
  // Its sides cannot be followed from there: what is found by itself in that place is meant.
  const reachPx =
    POINTED_SHARE * Math.max(...nearPx.map(({ u, v }) => 2 * Math.hypot(u - centre.u, v - centre.v)));
  const isPointed = ({ u, v }: ImagePoint): boolean =>
    nearPx.some((near) => Math.hypot(near.u - u, near.v - v) < reachPx);
  return searchReference(vision, photo, search).fitting.find(({ cornersPx }) => cornersPx.every(isPointed));
}
