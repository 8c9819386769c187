import { indexEdges } from '../../src/geometry/edge-index.ts';
import { layOn } from '../../src/geometry/lay-on.ts';
import { movePath } from '../../src/geometry/motion.ts';
import { type Path, polylinePath } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { samplePath } from '../../src/geometry/sample-path.ts';

export interface OutlineError {
  readonly meanMm: number;
  readonly p95Mm: number;
  readonly maxMm: number;
}

/** Both outlines are looked at this densely, mm. */
const SPACING_MM = 0.1;

/**
 * How far a measured outline lies from the true one, both ways, after a rigid motion without scaling: the same
 * figures as the scorer in shared/tools.
 */
export function outlineError(measured: Path, truth: readonly PlanePoint[]): OutlineError {
  const fixed = polylinePath(truth, true);
  const laid = movePath(measured, layOn(measured, fixed).motion);
  const points = (path: Path) => samplePath(path, SPACING_MM).map(({ point }) => point);
  const [ours, theirs] = [points(laid), points(fixed)];
  const gaps = (from: readonly PlanePoint[], to: readonly PlanePoint[]): number[] => {
    const index = indexEdges([{ points: to, closed: true }]);
    return from.map(({ x, y }) => index.nearest(x, y)!.distanceMm);
  };
  const all = [...gaps(ours, theirs), ...gaps(theirs, ours)].sort((a, b) => a - b);
  return {
    meanMm: all.reduce((sum, gap) => sum + gap, 0) / all.length,
    p95Mm: all[Math.floor(0.95 * all.length)]!,
    maxMm: all.at(-1)!,
  };
}
