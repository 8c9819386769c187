import { type EdgeIndex, indexEdges } from './edge-index.ts';
import { boundsOf, flattenPath } from './measure.ts';
import type { Path } from './path.ts';
import type { PlanePoint } from './point.ts';

/** Polylines made for measuring lie no farther off than this, mm, or than this share of the path's extent if that is less. */
const MEASURING_TOLERANCE_MM = 0.002;
const RELATIVE_TOLERANCE = 5e-6;

/** A path's points and control points in order, mm, its start first. */
export function pathPoints({ start, segments }: Path): PlanePoint[] {
  const points = [start];
  for (const segment of segments) {
    if (segment.kind === 'cubic') points.push(segment.c1, segment.c2);
    points.push(segment.to);
  }
  return points;
}

/** Larger of width and height of the box round the path's points and control points, mm. */
export function extentMm(path: Path): number {
  const { minX, minY, maxX, maxY } = boundsOf(pathPoints(path));
  return Math.max(maxX - minX, maxY - minY);
}

/** The flattening tolerance for measuring this path, mm: finer for small paths, and coarser for huge ones. */
export function measuringToleranceMm(path: Path): number {
  const relative = RELATIVE_TOLERANCE * extentMm(path);
  return Math.max(Math.min(MEASURING_TOLERANCE_MM, relative), relative * 1e-3, Number.MIN_VALUE);
}

/** Indexes a path's polyline for nearest-point queries. */
export function indexPath(path: Path, toleranceMm = measuringToleranceMm(path)): EdgeIndex {
  return indexEdges([{ points: flattenPath(path, toleranceMm), closed: path.closed }]);
}
