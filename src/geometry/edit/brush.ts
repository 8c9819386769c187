import { EndType, inflatePathsD, JoinType } from 'clipper2-ts';
import { indexEdges, type Polyline } from '../edge-index.ts';
import { type Bounds, boundsOf, flattenPath, polygonAreaMm2, polylineLengthMm } from '../measure.ts';
import type { Path } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { minus, mix, unit } from '../vector.ts';
import { type Heading, headingsOfLines } from './refit-polyline.ts';

/** The stroke is flattened this finely, mm. */
const FLAT_MM = 0.006;
/** Round ends are flattened this finely, mm: a turn of theirs is no corner to what is fitted to them. */
const ROUND_MM = 0.0015;
/** Digits after the point that the offsetting keeps, of a millimetre. */
const DIGITS = 5;
/** Holes smaller than this are rounding, mm2. */
const LEAST_HOLE_MM2 = 1e-4;

/** One closed line of the brush's edge. */
export interface BrushRing extends Polyline {
  /** Length from the first point to each, mm; one more than the points, the last being the whole way round. */
  readonly alongMm: readonly number[];
}

/** A round brush swept along a stroke. */
export interface Brush {
  readonly radiusMm: number;
  /** Round the swept shape, mm. */
  readonly bounds: Bounds;
  /** Its edge with the brush on the left: the outer ring counter-clockwise, those round what it encloses clockwise. */
  readonly rings: readonly BrushRing[];
  /** Directions of its straight edges. */
  readonly headings: readonly Heading[];
  /** Distance of a point from the exact edge, mm; less than zero within the brush. */
  clearanceMm(at: PlanePoint): number;
  /** The direction in which that distance grows, length one; none in the very middle. */
  awayFrom(at: PlanePoint): PlanePoint | undefined;
  /** The place of its rings nearest to a point. */
  nearestOnRings(at: PlanePoint): { readonly ring: number; readonly alongMm: number };
}

/** Sweeps a round brush of `radiusMm` along an open path (a path without segments is a single dab); both in mm. */
export function sweptBrush(stroke: Path, radiusMm: number): Brush {
  if (!(radiusMm > 0) || !Number.isFinite(radiusMm)) throw new RangeError('a brush needs a radius');
  const points = distinct(flattenPath(stroke, FLAT_MM));
  const middle = indexEdges([{ points, closed: false }]);
  const rings = ringsOf(points, radiusMm);
  const index = indexEdges(rings);
  const { minX, minY, maxX, maxY } = boundsOf(points);
  return {
    radiusMm,
    bounds: { minX: minX - radiusMm, minY: minY - radiusMm, maxX: maxX + radiusMm, maxY: maxY + radiusMm },
    rings,
    headings: headingsOfLines(stroke),
    clearanceMm: ({ x, y }) => middle.nearest(x, y)!.distanceMm - radiusMm,
    awayFrom: (at) => unit(minus(at, middle.nearest(at.x, at.y)!)),
    nearestOnRings({ x, y }) {
      const { line, edge, u } = index.nearest(x, y)!;
      const { alongMm } = rings[line]!;
      return { ring: line, alongMm: alongMm[edge]! + u * (alongMm[edge + 1]! - alongMm[edge]!) };
    },
  };
}

function distinct(points: readonly PlanePoint[]): PlanePoint[] {
  return points.filter((point, i) => i === 0 || distanceMm(points[i - 1]!, point) > 0);
}

function ringsOf(points: readonly PlanePoint[], radiusMm: number): BrushRing[] {
  const [only] = points;
  const swept =
    points.length === 1
      ? [circle(only!, radiusMm)]
      : inflatePathsD(
          [points.map(({ x, y }) => ({ x, y }))],
          radiusMm,
          JoinType.Round,
          EndType.Round,
          2,
          DIGITS,
          ROUND_MM,
        );
  return swept
    .map((ring) => ring.map(({ x, y }) => ({ x, y })))
    .filter((ring) => Math.abs(polygonAreaMm2(ring)) > LEAST_HOLE_MM2)
    .map((ring) => ({ points: ring, closed: true, alongMm: lengthsAlong(ring) }));
}

function circle(centre: PlanePoint, radiusMm: number): PlanePoint[] {
  const steps = Math.ceil(Math.PI / Math.acos(1 - ROUND_MM / radiusMm));
  return Array.from({ length: steps }, (_, i) => {
    const angle = (2 * Math.PI * i) / steps;
    return { x: centre.x + radiusMm * Math.cos(angle), y: centre.y + radiusMm * Math.sin(angle) };
  });
}

function lengthsAlong(ring: readonly PlanePoint[]): number[] {
  const along = [0];
  ring.forEach((point, i) =>
    along.push(along[i]! + polylineLengthMm([point, ring[(i + 1) % ring.length]!], false)),
  );
  return along;
}

/** The point of a ring at a length along it, mm, counted round and round. */
export function pointOnRing({ points, alongMm }: BrushRing, lengthMm: number): PlanePoint {
  const wholeMm = alongMm.at(-1)!;
  const at = lengthMm - wholeMm * Math.floor(lengthMm / wholeMm);
  const edge = Math.max(0, alongMm.findIndex((mm) => mm > at) - 1);
  const share = (at - alongMm[edge]!) / (alongMm[edge + 1]! - alongMm[edge]!);
  return mix(points[edge]!, points[(edge + 1) % points.length]!, share);
}

/** The brush's edge from one place of a ring on to another, places in mm along it; with `isBack` the other way round. */
export function ringBetween(
  { points, alongMm }: BrushRing,
  fromMm: number,
  toMm: number,
  isBack: boolean,
): PlanePoint[] {
  if (isBack) return ringBetween({ points, alongMm, closed: true }, toMm, fromMm, false).reverse();
  const inner = (low: number, high: number) =>
    points.filter((_, i) => alongMm[i]! > low && alongMm[i]! < high);
  return fromMm <= toMm ? inner(fromMm, toMm) : [...inner(fromMm, Infinity), ...inner(-Infinity, toMm)];
}
