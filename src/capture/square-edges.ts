/**
 * Corners of a card's black square from its four sides: straight lines through the half-way crossings in linear
 * light, intersected. The usual corner refinement pulls inward by up to 0.7 px under blur; a side's half-way
 * crossing does not, though ink spread still moves it outward, so the hourglass marks come first.
 */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { SQUARE_CORNERS } from './card.ts';
import { applyHomography, fitHomography } from './homography.ts';
import { lightAt } from './light.ts';
import { median } from '../geometry/median.ts';

export interface SquareFit {
  /** Top left, top right, bottom right, bottom left of the card upright. */
  readonly cornersPx: readonly [ImagePoint, ImagePoint, ImagePoint, ImagePoint];
  /** One-sigma noise of a corner along each axis, px, without ink spread. */
  readonly sigmaPx: number;
}

/** Profiles run this far to either side, mm: an inner cell begins 6.25 mm inside, a mark 3 mm outside. */
const REACH_MM = 2.4;
/** Profiles leave out this share of a side at either end, where the neighbouring side's blur begins. */
const END_SHARE = 0.06;
/** Profiles of a side: enough to come near it first, then all that its noise deserves. */
const FIRST_PROFILES = 16;
const PROFILES = 48;
const SAMPLES = 33;
/** A profile counts when inside and outside differ by this share of the side's typical step. */
const CLEAR_STEP = 0.5;
const LEAST_SHARE_OF_PROFILES = 0.5;

/** A line u = at + s * along; `noisePx` is its RMS scatter over the root of the count. */
interface Line {
  readonly at: ImagePoint;
  readonly along: ImagePoint;
  readonly noisePx: number;
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

interface Crossing {
  readonly at: ImagePoint;
  readonly step: number;
}

/** Half-way crossing of the light from `inner` (ink) to `outer` (paper), both in px. */
function crossingBetween(photo: Raster, inner: ImagePoint, outer: ImagePoint): Crossing | undefined {
  const [du, dv] = [outer.u - inner.u, outer.v - inner.v];
  const profile = Array.from({ length: SAMPLES }, (_, i) => {
    const t = i / (SAMPLES - 1);
    return lightAt(photo, inner.u + t * du, inner.v + t * dv);
  });
  if (profile.some(Number.isNaN)) return undefined;
  const end = Math.floor(SAMPLES / 6);
  const ink = mean(profile.slice(0, end));
  const paper = mean(profile.slice(-end));
  const half = (ink + paper) / 2;
  const crossings: number[] = [];
  for (let i = 1; i < SAMPLES; i++) {
    const [a, b] = [profile[i - 1]! - half, profile[i]! - half];
    if (a < 0 && b >= 0) crossings.push((i - 1 + a / (a - b)) / (SAMPLES - 1));
  }
  // Noise may cross more than once, close together: their middle is the edge.
  if (crossings.length === 0 || Math.max(...crossings) - Math.min(...crossings) > 0.2) return undefined;
  const t = mean(crossings);
  return { at: { u: inner.u + t * du, v: inner.v + t * dv }, step: paper - ink };
}

/** Total least squares line through weighted points. */
function lineThrough(points: readonly ImagePoint[], weights: readonly number[]): Line {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const weighted = (value: (point: ImagePoint) => number): number =>
    points.reduce((sum, point, i) => sum + weights[i]! * value(point), 0) / total;
  const at = { u: weighted(({ u }) => u), v: weighted(({ v }) => v) };
  const uu = weighted(({ u }) => (u - at.u) ** 2);
  const vv = weighted(({ v }) => (v - at.v) ** 2);
  const uv = weighted(({ u, v }) => (u - at.u) * (v - at.v));
  const angle = 0.5 * Math.atan2(2 * uv, uu - vv);
  const across = uu + vv - Math.hypot(uu - vv, 2 * uv);
  return {
    at,
    along: { u: Math.cos(angle), v: Math.sin(angle) },
    noisePx: Math.sqrt(Math.max(0, across / 2) / total),
  };
}

/** Line through points of which some are strays: Tukey's weights by the median distance. */
function robustLine(points: readonly ImagePoint[]): Line {
  let line = lineThrough(
    points,
    points.map(() => 1),
  );
  for (let round = 0; round < 6; round++) {
    const { at, along } = line;
    const distances = points.map(({ u, v }) => Math.abs((u - at.u) * along.v - (v - at.v) * along.u));
    const limit = 6 * Math.max(0.05, median(distances));
    line = lineThrough(
      points,
      distances.map((distance) => Math.max(0, 1 - (distance / limit) ** 2) ** 2),
    );
  }
  return line;
}

function intersectionOf(a: Line, b: Line): ImagePoint | undefined {
  const cross = a.along.u * b.along.v - a.along.v * b.along.u;
  if (Math.abs(cross) < 0.05) return undefined;
  const s = ((b.at.u - a.at.u) * b.along.v - (b.at.v - a.at.v) * b.along.u) / cross;
  return { u: a.at.u + s * a.along.u, v: a.at.v + s * a.along.v };
}

/** The side from one nominal corner to the next, seen through the map from mm to pixels. */
function sideLine(
  photo: Raster,
  map: (point: PlanePoint) => ImagePoint,
  from: PlanePoint,
  to: PlanePoint,
  profiles: number,
): Line | undefined {
  // Clockwise from the top left: the outward normal lies to the left of the way.
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const out = { x: -(to.y - from.y) / length, y: (to.x - from.x) / length };
  const found: Crossing[] = [];
  for (let i = 0; i < profiles; i++) {
    const t = END_SHARE + ((1 - 2 * END_SHARE) * (i + 0.5)) / profiles;
    const base = { x: from.x + t * (to.x - from.x), y: from.y + t * (to.y - from.y) };
    const crossing = crossingBetween(
      photo,
      map({ x: base.x - REACH_MM * out.x, y: base.y - REACH_MM * out.y }),
      map({ x: base.x + REACH_MM * out.x, y: base.y + REACH_MM * out.y }),
    );
    if (crossing) found.push(crossing);
  }
  if (found.length < LEAST_SHARE_OF_PROFILES * profiles) return undefined;
  const typical = median(found.map(({ step }) => step));
  const clear = found.filter(({ step }) => step > CLEAR_STEP * typical);
  return robustLine(clear.map(({ at }) => at));
}

function refineOnce(photo: Raster, corners: SquareFit['cornersPx'], profiles: number): SquareFit | undefined {
  const homography = fitHomography(SQUARE_CORNERS.map((at, i) => ({ at, seen: corners[i]! })));
  if (!homography) return undefined;
  const sides = SQUARE_CORNERS.map((corner, i) =>
    sideLine(
      photo,
      (point) => applyHomography(homography, point),
      corner,
      SQUARE_CORNERS[(i + 1) % 4]!,
      profiles,
    ),
  );
  const refined = sides.map((side, i) => {
    const before = sides[(i + 3) % 4];
    return side && before ? intersectionOf(before, side) : undefined;
  });
  const [a, b, c, d] = refined;
  if (!a || !b || !c || !d) return undefined;
  const noise = Math.max(...sides.map((side) => side?.noisePx ?? 0));
  // A corner is an extrapolation to the side's end: twice the noise at its middle (linear regression).
  return { cornersPx: [a, b, c, d], sigmaPx: 2 * noise };
}

/** Brings a marker's rough corners (within about 2 mm) near the square's, or undefined when a side is not seen clearly. */
export function nearSquare(photo: Raster, rough: SquareFit['cornersPx']): SquareFit | undefined {
  return refineOnce(photo, rough, FIRST_PROFILES);
}

/**
 * Refines a marker's rough corners (within about 2 mm) on the photo's own pixels, or undefined when a side is
 * not seen clearly; `near` is what `nearSquare` made of them. Lens distortion bends a 50 mm side by about 0.1 px at most,
 * inside the stated fall-back noise.
 */
export function refineSquare(
  photo: Raster,
  rough: SquareFit['cornersPx'],
  near = nearSquare(photo, rough),
): SquareFit | undefined {
  return near && (refineOnce(photo, near.cornersPx, PROFILES) ?? near);
}
