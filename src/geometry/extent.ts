import { turningPoints } from './cut-by-line.ts';
import { offsetFromLineMm, type StraightLine } from './motion.ts';
import type { Path } from './path.ts';
import { segmentStart } from './place.ts';
import { segmentPoint } from './segment.ts';

/**
 * How far a path reaches to either side of a line, mm, left positive: exact on the curves themselves, whose
 * farthest points lie at their ends or where their distance from the line turns.
 */
export function reachBesideLine(
  path: Path,
  line: StraightLine,
): { readonly lowMm: number; readonly highMm: number } {
  let lowMm = offsetFromLineMm(line, path.start);
  let highMm = lowMm;
  path.segments.forEach((segment, index) => {
    const from = segmentStart(path, index);
    for (const t of turningPoints(from, segment, line)) {
      const offset = offsetFromLineMm(line, segmentPoint(from, segment, t));
      lowMm = Math.min(lowMm, offset);
      highMm = Math.max(highMm, offset);
    }
  });
  return { lowMm, highMm };
}

/** Extent of a path at right angles to a direction, mm. */
export function widthAcrossMm(path: Path, directionRad: number): number {
  const { lowMm, highMm } = reachBesideLine(path, { point: path.start, angleRad: directionRad });
  return highMm - lowMm;
}
