import { EndType, inflatePathsD, JoinType } from 'clipper2-ts';
import { failure, type Outcome, success } from '../../outcome.ts';
import { flattenPath, polygonAreaMm2 } from '../measure.ts';
import type { Path } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { plus, quarterLeft, times } from '../vector.ts';
import { headingAt } from './heading.ts';
import { type Heading, headingsOfLines, refitPolyline } from './refit-polyline.ts';

/** The line is flattened this finely before it is offset, and arcs round its corners are as fine, mm. */
const FLAT_MM = 0.0005;
/** Digits after the point that the offsetting keeps, of a millimetre. */
const DIGITS = 5;
/** A sharp corner reaches out no farther than this many times the distance; beyond it is cut square. */
const SHARPEST = 4;

export type OffsetCorner = 'sharp' | 'round';

/**
 * Lines at an equal distance from a line, mm: for a closed one outwards (inwards when negative), for an open one to the
 * left of its direction (to the right when negative). Corners stay corners, smooth runs are fitted again with cubics to
 * 0.01 mm. Drawn inwards a line may fall into several; when nothing is left, that is said.
 */
export function offsetLine(
  path: Path,
  distance: number,
  corner: OffsetCorner,
): Outcome<readonly Path[], 'nothing-left' | 'folds-over'> {
  if (!Number.isFinite(distance)) throw new RangeError('an offset needs a finite distance');
  if (distance === 0) return success([path]);
  const points = flattenPath(path, FLAT_MM);
  const headings = headingsOfLines(path);
  return path.closed
    ? offsetClosed(points, distance, corner, headings)
    : offsetOpen(path, points, distance, corner, headings);
}

/** What Clipper makes of the line; nothing where the library gives up, which it does on rings without an inside. */
function inflated(
  points: readonly PlanePoint[],
  distance: number,
  corner: OffsetCorner,
  end: EndType,
): PlanePoint[][] {
  const join = corner === 'sharp' ? JoinType.Miter : JoinType.Round;
  const ring = points.map(({ x, y }) => ({ x, y }));
  try {
    const polygons = inflatePathsD([ring], distance, join, end, SHARPEST, DIGITS, FLAT_MM);
    return polygons.map((polygon) => polygon.map(({ x, y }) => ({ x, y })));
  } catch {
    // clipper2-ts 2.0.1 reads beyond an empty path when a degenerate ring vanishes (Engine.addPathsToVertexList).
    return [];
  }
}

/** Slivers of the rounding are no lines. */
const LEAST_AREA_MM2 = 1e-4;

const hasInside = (polygon: readonly PlanePoint[]) => Math.abs(polygonAreaMm2(polygon)) > LEAST_AREA_MM2;

function offsetClosed(
  points: readonly PlanePoint[],
  distance: number,
  corner: OffsetCorner,
  headings: readonly Heading[],
): Outcome<readonly Path[], 'nothing-left'> {
  const polygons = inflated(points, distance, corner, EndType.Polygon).filter(hasInside);
  if (polygons.length === 0) {
    return failure(
      'nothing-left',
      `The shape is narrower than twice ${Math.abs(distance)} mm everywhere, so nothing is left inside that distance. Choose a smaller one.`,
    );
  }
  // Clipper keeps the sense of the line that it was given.
  return success(polygons.map((polygon) => refitPolyline(polygon, true, headings)));
}

/** An end of one side lies at most this far from where it should be, mm. */
const END_SLACK_MM = 0.01;

/** One side of the strip round an open line. */
function offsetOpen(
  path: Path,
  points: readonly PlanePoint[],
  distance: number,
  corner: OffsetCorner,
  headings: readonly Heading[],
): Outcome<readonly Path[], 'folds-over'> {
  const [polygon, ...more] = inflated(points, Math.abs(distance), corner, EndType.Butt);
  const last = path.segments.length - 1;
  const beside = (at: PlanePoint, segment: number, t: number) =>
    plus(at, times(quarterLeft(headingAt(path, { segment, t })), distance));
  const starts = polygon && nearestIndex(polygon, beside(path.start, 0, 0));
  const ends = polygon && nearestIndex(polygon, beside(points.at(-1)!, last, 1));
  if (!polygon || more.length > 0 || starts === undefined || ends === undefined) {
    return failure(
      'folds-over',
      `Beside this line at ${Math.abs(distance)} mm a line would fold over itself, because the line bends more tightly than that. Choose a smaller distance, or the other side.`,
    );
  }
  // The strip runs counter-clockwise: along the right side, and back along the left one.
  const side = distance > 0 ? between(polygon, ends, starts).reverse() : between(polygon, starts, ends);
  return success([refitPolyline(side, false, headings)]);
}

function nearestIndex(polygon: readonly PlanePoint[], wanted: PlanePoint): number | undefined {
  let best = 0;
  polygon.forEach((point, i) => {
    if (distanceMm(point, wanted) < distanceMm(polygon[best]!, wanted)) best = i;
  });
  return distanceMm(polygon[best]!, wanted) <= END_SLACK_MM ? best : undefined;
}

function between(polygon: readonly PlanePoint[], from: number, to: number): PlanePoint[] {
  return from <= to ? polygon.slice(from, to + 1) : [...polygon.slice(from), ...polygon.slice(0, to + 1)];
}
