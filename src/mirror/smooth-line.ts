import type { Polyline } from '../geometry/edge-index.ts';
import type { Path } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { samplePathEvenly } from '../geometry/sample-path.ts';

/**
 * A path as an evenly spaced polyline, averaged along itself with a bell curve of spread `spreadMm`.
 * Averaging treats both halves of a symmetric outline alike, so it leaves the axis where it is, while the
 * roughness of a traced edge no longer hides which way the edge runs.
 */
export function smoothLine(path: Path, spacingMm: number, spreadMm: number): Polyline {
  const points = samplePathEvenly(path, spacingMm).map(({ point }) => point);
  const reach = Math.ceil((3 * spreadMm) / spacingMm);
  const bell = Array.from({ length: 2 * reach + 1 }, (_, k) => {
    const away = ((k - reach) * spacingMm) / spreadMm;
    return Math.exp((-away * away) / 2);
  });
  const total = bell.reduce((sum, w) => sum + w, 0);
  const count = points.length;
  const pick = (i: number) =>
    points[path.closed ? ((i % count) + count) % count : Math.min(count - 1, Math.max(0, i))]!;
  const smooth = points.map((_, i): PlanePoint => {
    let [x, y] = [0, 0];
    for (let k = -reach; k <= reach; k++) {
      const { x: px, y: py } = pick(i + k);
      x += bell[k + reach]! * px;
      y += bell[k + reach]! * py;
    }
    return { x: x / total, y: y / total };
  });
  return { points: smooth, closed: path.closed };
}
