import type { PieceLine } from '../../geometry/line-kinds.ts';
import { pathAreaMm2 } from '../../geometry/measure.ts';
import type { Path } from '../../geometry/path.ts';

/** The piece's outer edge: of several closed cut lines the one with the largest area; undefined when there is none. */
export function outlineOf(lines: readonly PieceLine[]): Path | undefined {
  let outline: Path | undefined;
  let largest = 0;
  for (const { kind, path } of lines) {
    if (kind !== 'cut' || !path.closed) continue;
    const area = Math.abs(pathAreaMm2(path));
    if (area > largest) [outline, largest] = [path, area];
  }
  return outline;
}

/** The lines that help to tell the fold line: all but the outline, and but the wrap line, which belongs to the head. */
export function innerPaths(lines: readonly PieceLine[], outline: Path): Path[] {
  return lines.filter(({ kind, path }) => kind !== 'wrap' && path !== outline).map(({ path }) => path);
}
