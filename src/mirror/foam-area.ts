import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathAreaMm2 } from '../geometry/measure.ts';
import type { Path } from '../geometry/path.ts';

/**
 * Area of foam that lines enclose, mm2: outlines less openings. `partsOf` may take only a part of each region, such as
 * what lies left of the fold axis.
 */
export function foamAreaMm2(
  lines: readonly PieceLine[],
  partsOf: (region: Path) => readonly Path[] = (region) => [region],
): number {
  let area = 0;
  for (const { kind, path } of lines) {
    if (!path.closed || (kind !== 'cut' && kind !== 'cutout')) continue;
    const sign = kind === 'cut' ? 1 : -1;
    for (const part of partsOf(path)) area += sign * Math.abs(pathAreaMm2(part));
  }
  return area;
}
