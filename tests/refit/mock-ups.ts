import type { LineKind, PieceLine } from '../../src/geometry/line-kinds.ts';
import { pathAreaMm2 } from '../../src/geometry/measure.ts';
import { type Path, polylinePath, reversePath } from '../../src/geometry/path.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { point } from '../geometry/drawn.ts';
import { fineOutline } from '../mirror/outlines.ts';

/** How the second mock-up lies in its own photo. */
export const ELSEWHERE = { mirrored: false, angleRad: 2.4, shift: point(500, -70) };
export const TURNED_OVER = { mirrored: true, angleRad: -0.7, shift: point(-310, 95) };

export const pieceLine = (id: string, kind: LineKind, path: Path): PieceLine => ({ id, kind, path });

export interface Trim {
  readonly path: Path;
  /** Places of the old outline that were left alone. */
  readonly untouched: readonly PlanePoint[];
  /** Middle of the trimmed run on the old outline. */
  readonly middle: PlanePoint;
}

/**
 * Takes `depthMm` off the share of the outline that begins at `fromShare` (adds it, when negative): moved inwards along the
 * normal, with ramps of 8 mm at both ends.
 */
export function trimmed(path: Path, depthMm: number, fromShare: number, share = 0.3): Trim {
  const fine = fineOutline(pathAreaMm2(path) < 0 ? reversePath(path) : path, 0.5);
  const total = fine[fine.length - 1]!.alongMm;
  const [from, to] = [fromShare * total, (fromShare + share) * total];
  const inwards = (alongMm: number) => {
    const inside = Math.min(alongMm - from, to - alongMm);
    return inside <= 0 ? 0 : depthMm * Math.min(1, inside / 8);
  };
  const points = fine.map(({ at, out, alongMm }) => {
    const depth = inwards(alongMm);
    return point(at.x - depth * out.x, at.y - depth * out.y);
  });
  return {
    path: polylinePath(points, true),
    untouched: fine.filter(({ alongMm }) => alongMm < from - 1 || alongMm > to + 1).map(({ at }) => at),
    middle: fine.reduce((best, f) =>
      Math.abs(f.alongMm - (from + to) / 2) < Math.abs(best.alongMm - (from + to) / 2) ? f : best,
    ).at,
  };
}
