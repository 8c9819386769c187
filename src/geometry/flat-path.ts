import { type EdgeIndex, indexEdges } from './edge-index.ts';
import { boundsOf, FLATTENING_TOLERANCE_MM, flattenPath } from './measure.ts';
import type { Path } from './path.ts';

/** Share of a path's extent that its polyline may lie off it, for paths too small for the usual tolerance. */
const RELATIVE_FLATTENING = 1e-5;

/** Larger of width and height of the box round the path's points and control points, mm. */
export function extentMm(path: Path): number {
  const points = path.segments.flatMap((s) => (s.kind === 'line' ? [s.to] : [s.c1, s.c2, s.to]));
  const { minX, minY, maxX, maxY } = boundsOf([path.start, ...points]);
  return Math.max(maxX - minX, maxY - minY);
}

/** The flattening tolerance for measuring this path, mm: the usual one, or finer for small paths and coarser for huge ones. */
export function measuringToleranceMm(path: Path): number {
  const relative = RELATIVE_FLATTENING * extentMm(path);
  return Math.max(Math.min(FLATTENING_TOLERANCE_MM, relative), relative * 1e-3, Number.MIN_VALUE);
}

/** Indexes a path's polyline for nearest-point queries. */
export function indexPath(path: Path, toleranceMm = measuringToleranceMm(path)): EdgeIndex {
  return indexEdges([{ points: flattenPath(path, toleranceMm), closed: path.closed }]);
}
