import { flattenPath } from './measure.ts';
import { extentMm, measuringToleranceMm, pathPoints } from './flat-path.ts';
import type { Path } from './path.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import { segmentSize } from './segment.ts';
import { cross, minus } from './vector.ts';

/** What can be wrong with a path as a line to be cut or drawn. */
type PathFaultCode = 'no-segments' | 'not-finite' | 'not-closed' | 'empty-segment' | 'crosses-itself';

export interface PathFault {
  readonly code: PathFaultCode;
  /** Where, mm; the path's start when it is the whole path. */
  readonly at: PlanePoint;
}

const isFinitePoint = ({ x, y }: PlanePoint) => Number.isFinite(x) && Number.isFinite(y);

/**
 * Checks that a path is finite, closed where it says so (to 1e-6 mm, or 1e-9 of its extent), free of
 * empty segments, and that it does not cross itself. Gives every fault with its place; an empty list is a sound path.
 */
export function pathFaults(path: Path): PathFault[] {
  if (path.segments.length === 0) return [{ code: 'no-segments', at: path.start }];
  const broken = pathPoints(path).find((point) => !isFinitePoint(point));
  if (broken) return [{ code: 'not-finite', at: broken }];
  const faults: PathFault[] = [];
  const extent = extentMm(path);
  const end = path.segments[path.segments.length - 1]!.to;
  if (path.closed && distanceMm(end, path.start) > Math.max(1e-6, 1e-9 * extent)) {
    faults.push({ code: 'not-closed', at: end });
  }
  let from = path.start;
  for (const segment of path.segments) {
    if (segmentSize(from, segment) <= 1e-12 * extent) faults.push({ code: 'empty-segment', at: segment.to });
    from = segment.to;
  }
  return [...faults, ...selfCrossings(path).map((at) => ({ code: 'crosses-itself' as const, at }))];
}

/** Where the path's polyline passes through itself; touching does not count. */
function selfCrossings(path: Path): PlanePoint[] {
  const points = flattenPath(path, measuringToleranceMm(path));
  const count = path.closed ? points.length : points.length - 1;
  const end = (i: number) => points[(i + 1) % points.length]!;
  // Sweep along x: only edges whose boxes overlap are compared.
  const [minX, maxX, minY, maxY] = [0, 0, 0, 0].map(() => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (let i = 0; i < count; i++) {
    const [a, b] = [points[i]!, end(i)];
    [minX[i], maxX[i]] = [Math.min(a.x, b.x), Math.max(a.x, b.x)];
    [minY[i], maxY[i]] = [Math.min(a.y, b.y), Math.max(a.y, b.y)];
  }
  const order = Int32Array.from({ length: count }, (_, i) => i).sort((a, b) => minX[a]! - minX[b]!);
  const active: number[] = [];
  const found: PlanePoint[] = [];
  for (const edge of order) {
    let kept = 0;
    for (const other of active) {
      if (maxX[other]! < minX[edge]!) continue;
      active[kept++] = other;
      if (minY[other]! > maxY[edge]! || maxY[other]! < minY[edge]!) continue;
      const at = properCrossing(points[edge]!, end(edge), points[other]!, end(other));
      if (at) found.push(at);
    }
    active.length = kept;
    active.push(edge);
  }
  return found;
}

/** The point where two edges pass through each other, strictly inside both. */
function properCrossing(a: PlanePoint, b: PlanePoint, c: PlanePoint, d: PlanePoint): PlanePoint | undefined {
  const ab = minus(b, a);
  const cd = minus(d, c);
  const denominator = cross(ab, cd);
  if (denominator === 0) return undefined;
  const ac = minus(c, a);
  const t = cross(ac, cd) / denominator;
  const u = cross(ac, ab) / denominator;
  const margin = 1e-9;
  if (t <= margin || t >= 1 - margin || u <= margin || u >= 1 - margin) return undefined;
  return { x: a.x + t * ab.x, y: a.y + t * ab.y };
}
