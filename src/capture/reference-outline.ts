/** From four rough corners in the photo to the four sides of a card or sheet, measured. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { applyHomography, fitHomography, homographySlope } from './homography.ts';
import { findSide, type FoundSide } from './reference-side.ts';
import { footOf, type RoughLens } from './reference-wall.ts';
import type { SideView } from './side-light.ts';
import type { SideSearch } from './side-profile.ts';
import { type ReferenceShape, shapeCorners } from './reference-shapes.ts';
import type { SeenSide, SeenTarget } from './solve-target.ts';

/** A reference as seen in the photo, ready for the solve. */
export interface SeenOutline extends SeenTarget {
  readonly sides: readonly SeenSide[];
  /** What each side was read from, for a closer look; undefined for one that lies where the maker pointed. */
  readonly views: readonly (SideView | undefined)[];
  /** Where the sides meet, clockwise from the top left of the shape lying long side across. */
  readonly cornersPx: readonly ImagePoint[];
  /** Least share of a side that was seen. */
  readonly share: number;
  /** Least contrast of a side, linear light. */
  readonly contrast: number;
  /** Sides that are not clearly seen and lie where the maker pointed. */
  readonly pointedSides: number;
  /** Means over the sides. */
  readonly blurPx: number;
  readonly pxPerMm: number;
}

/** Later looks search this far to either side, mm and as a share of the side (lenses bow long sides). */
const CLOSE_LOOK_MM = 2;
const CLOSE_LOOK_SHARE = 0.012;

/** A lens bows a side by about this many mm for every square mm of its length (k1 of 0.03 seen from 600 mm). */
const LENS_BOW = 1.2e-5;

/** Corners are pointed out to about this on the table, one sigma, mm (common practice, no source). */
const POINTED_CORNER_MM = 1.5;
/** So many sides may lie where the maker pointed; the others must be seen. */
const MOST_POINTED = 1;
const POINTED_PLACES = 12;

interface Line {
  readonly at: ImagePoint;
  readonly du: number;
  readonly dv: number;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Straight line through a side's places (total least squares). */
function lineOf({ places }: FoundSide): Line {
  const n = places.length;
  const at = {
    u: places.reduce((sum, { seen }) => sum + seen.u, 0) / n,
    v: places.reduce((sum, { seen }) => sum + seen.v, 0) / n,
  };
  let [uu, vv, uv] = [0, 0, 0];
  for (const { seen } of places) {
    uu += (seen.u - at.u) ** 2;
    vv += (seen.v - at.v) ** 2;
    uv += (seen.u - at.u) * (seen.v - at.v);
  }
  const angle = 0.5 * Math.atan2(2 * uv, uu - vv);
  return { at, du: Math.cos(angle), dv: Math.sin(angle) };
}

function meet(a: Line, b: Line): ImagePoint | undefined {
  const cross = a.du * b.dv - a.dv * b.du;
  if (Math.abs(cross) < 0.05) return undefined;
  const s = ((b.at.u - a.at.u) * b.dv - (b.at.v - a.at.v) * b.du) / cross;
  return { u: a.at.u + s * a.du, v: a.at.v + s * a.dv };
}

interface Look {
  readonly corners: readonly ImagePoint[];
  readonly found: readonly FoundSide[];
  readonly pointedSides: number;
}

/** A side where the maker pointed, with the doubt of that. */
function pointedSide({ from, to, endMm, map }: SideSearch): FoundSide {
  const [p, q] = [map(from), map(to)];
  const lengthPx = Math.hypot(q.u - p.u, q.v - p.v);
  const lengthMm = Math.hypot(to.x - from.x, to.y - from.y);
  const normal = { u: (q.v - p.v) / lengthPx, v: (p.u - q.u) / lengthPx };
  const pxPerMm = lengthPx / lengthMm;
  const end = endMm / lengthMm;
  return {
    places: Array.from({ length: POINTED_PLACES }, (_, i) => {
      const t = end + ((1 - 2 * end) * (i + 0.5)) / POINTED_PLACES;
      const seen = { u: p.u + t * (q.u - p.u), v: p.v + t * (q.v - p.v) };
      // All of them together are as sure as two corners are.
      return { seen, normal, sigmaPx: POINTED_CORNER_MM * pxPerMm * Math.sqrt(POINTED_PLACES / 2) };
    }),
    view: undefined,
    support: 0,
    share: 0,
    contrast: 0,
    blurPx: 0,
    pxPerMm,
  };
}

/** How unlike the shape four corners in the photo are: 0 for the very shape, 1 at the limit. */
export type Misfit = (corners: readonly ImagePoint[]) => number;

/** A shape at the limit of likeness is worth this much less than a perfect one, in shares of its sides' clearness. */
const MISFIT_COSTS = 0.5;

/** Every way of taking one of each side's sightings. */
function combinations(sightings: readonly (readonly FoundSide[])[]): FoundSide[][] {
  return sightings.reduce<FoundSide[][]>(
    (all, side) => all.flatMap((taken) => side.map((one) => [...taken, one])),
    [[]],
  );
}

function look(
  photo: Raster,
  shape: ReferenceShape,
  corners: readonly ImagePoint[],
  reachMm: (sideMm: number) => number,
  misfit: Misfit,
  isPointed: boolean,
  lens: RoughLens,
): Look | undefined {
  const nominal = shapeCorners(shape);
  const matched = nominal.map((at, i) => ({ at, seen: corners[i]! }));
  const homography = fitHomography(matched);
  const foot = footOf(matched, shape.faceHeightMm, lens);
  if (!homography) return undefined;
  const [a, b, c, d] = homographySlope(homography, { x: 0, y: 0 });
  // Mirrored, or seen edge on.
  if (!(b * c - a * d > 0)) return undefined;
  const sightings = nominal.map((from, i) => {
    const to = nominal[(i + 1) % 4]!;
    const sideMm = Math.hypot(to.x - from.x, to.y - from.y);
    const bowMm = LENS_BOW * sideMm ** 2;
    const map = (point: PlanePoint): ImagePoint => applyHomography(homography, point);
    const search = { from, to, endMm: shape.cornerMm, reachMm: reachMm(sideMm), bowMm, map, foot };
    const seen = findSide(photo, search);
    return isPointed && seen.length === 0 ? [pointedSide(search)] : seen;
  });
  const pointedSides = sightings.filter(([first]) => first?.share === 0).length;
  if (pointedSides > MOST_POINTED) return undefined;
  let best: Look | undefined;
  let most = -Infinity;
  for (const found of combinations(sightings)) {
    const lines = found.map(lineOf);
    const met = lines.flatMap((line, i) => meet(lines[(i + 3) % 4]!, line) ?? []);
    if (met.length < 4) continue;
    const clearness = mean(
      found.map(({ share, support }, i) => (share === 0 ? 0 : (share * support) / sightings[i]![0]!.support)),
    );
    const worth = clearness - MISFIT_COSTS * misfit(met);
    if (worth > most) [best, most] = [{ corners: met, found, pointedSides }, worth];
  }
  return best;
}

/**
 * Measures a shape's four sides, looking first within `reachMm` of the rough corners' sides and then close by. The
 * corners are clockwise, the first side a long one; `misfit` chooses where several edges could be a side. Undefined when
 * a side is not clearly seen; one may lie where the maker pointed.
 */
export function seeOutline(
  photo: Raster,
  shape: ReferenceShape,
  roughPx: readonly ImagePoint[],
  reachMm: number,
  misfit: Misfit,
  isPointed: boolean,
  lens: RoughLens,
): SeenOutline | undefined {
  const first = look(photo, shape, roughPx, () => reachMm, misfit, isPointed, lens);
  const close = (sideMm: number): number => Math.max(CLOSE_LOOK_MM, CLOSE_LOOK_SHARE * sideMm);
  const last = first && look(photo, shape, first.corners, close, misfit, isPointed, lens);
  if (!last) return undefined;
  const nominal = shapeCorners(shape);
  const seen = last.found.filter(({ share }) => share > 0);
  return {
    points: [],
    sides: last.found.map(({ places }, i) => ({
      from: nominal[i]!,
      to: nominal[(i + 1) % 4]!,
      places,
      shiftDoubtMm: shape.shiftDoubtMm,
      turnDoubtMm: shape.turnDoubtMm,
      bowDoubtMm: shape.bowDoubtMm,
    })),
    views: last.found.map(({ view }) => view),
    rough: nominal.map((at, i) => ({ at, seen: last.corners[i]! })),
    faceHeightMm: shape.faceHeightMm,
    isPrinted: false,
    cornersPx: last.corners,
    pointedSides: last.pointedSides,
    share: Math.min(...seen.map(({ share }) => share)),
    contrast: Math.min(...seen.map(({ contrast }) => contrast)),
    blurPx: mean(seen.map(({ blurPx }) => blurPx)),
    pxPerMm: mean(last.found.map(({ pxPerMm }) => pxPerMm)),
  };
}
