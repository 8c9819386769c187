import { indexEdges } from '../../src/geometry/edge-index.ts';
import { flattenPath } from '../../src/geometry/measure.ts';
import type { Path } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';

export interface OutlineDistance {
  readonly meanMm: number;
  readonly p95Mm: number;
  readonly maxMm: number;
}

/** Points along a closed polygon, no further than `stepMm` apart. */
export function dense(polygon: readonly PlanePoint[], stepMm = 0.2): PlanePoint[] {
  return polygon.flatMap((from, i) => {
    const to = polygon[(i + 1) % polygon.length]!;
    const count = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / stepMm));
    return Array.from({ length: count }, (_, k) => ({
      x: from.x + ((to.x - from.x) * k) / count,
      y: from.y + ((to.y - from.y) * k) / count,
    }));
  });
}

/** How far two closed outlines lie from each other, both ways, without moving either. */
export function outlineDistance(path: Path, truth: readonly PlanePoint[]): OutlineDistance {
  const outline = flattenPath(path, 0.005);
  const toTruth = indexEdges([{ points: truth, closed: true }]);
  const toOutline = indexEdges([{ points: outline, closed: true }]);
  const distances = [
    ...dense(outline).map(({ x, y }) => toTruth.nearest(x, y)!.distanceMm),
    ...dense(truth).map(({ x, y }) => toOutline.nearest(x, y)!.distanceMm),
  ].sort((a, b) => a - b);
  return {
    meanMm: distances.reduce((sum, distance) => sum + distance, 0) / distances.length,
    p95Mm: distances[Math.floor(0.95 * distances.length)]!,
    maxMm: distances[distances.length - 1]!,
  };
}

/** Corners of a polygon: where it turns by more than `leastDeg` at one vertex. */
export function cornersOf(polygon: readonly PlanePoint[], leastDeg: number): PlanePoint[] {
  return polygon.filter((at, i) => {
    const before = polygon[(i + polygon.length - 1) % polygon.length]!;
    const after = polygon[(i + 1) % polygon.length]!;
    const [ax, ay, bx, by] = [at.x - before.x, at.y - before.y, after.x - at.x, after.y - at.y];
    const turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
    return Math.abs(turn) > (leastDeg * Math.PI) / 180;
  });
}

/** The corner joints of a closed path. */
export function cornerPoints(path: Path): PlanePoint[] {
  return path.segments.filter(({ joint }) => joint === 'corner').map(({ to }) => to);
}
