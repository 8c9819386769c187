import { deviationFigures, deviationFrom } from '../geometry/deviation.ts';
import { indexPath } from '../geometry/flat-path.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { reflectionAcross } from '../geometry/motion.ts';
import type { Path } from '../geometry/path.ts';
import { placeAtLength, pointAt } from '../geometry/place.ts';
import { distanceMm, midpoint, type PlanePoint } from '../geometry/point.ts';
import { samplePathEvenly } from '../geometry/sample-path.ts';
import { type FoldLine, foldLine } from './axis.ts';

/** A fold axis through two of the piece's marks. */
export interface AxisThroughMarks {
  readonly axis: FoldLine;
  /** Ids of the two mark lines. */
  readonly markIds: readonly [string, string];
  /** 95 % of the outline lies this near to its reflection, mm. */
  readonly p95Mm: number;
}

/** Marks nearer than this to each other give no direction, mm. */
const LEAST_APART_MM = 10;
const SAMPLES = 300;
const MOST = 6;

/** The axes through any two marks of a piece, best fitting first; a mark counts by the middle of its line. None without two marks. */
export function axesThroughMarks(outline: Path, lines: readonly PieceLine[]): AxisThroughMarks[] {
  const marks = lines
    .filter(({ kind }) => kind === 'mark')
    .map(({ id, path }) => ({ id, at: middleOf(path) }));
  const index = indexPath(outline);
  const samples = samplePathEvenly(outline, pathLengthMm(outline) / SAMPLES);
  return marks
    .flatMap((a, i) =>
      marks.slice(i + 1).flatMap((b): AxisThroughMarks[] => {
        if (distanceMm(a.at, b.at) < LEAST_APART_MM) return [];
        const angleRad = Math.atan2(b.at.y - a.at.y, b.at.x - a.at.x);
        const axis = foldLine({ point: midpoint(a.at, b.at), angleRad }, 'through-marks');
        const { p95Mm } = deviationFigures(deviationFrom(samples, reflectionAcross(axis), index));
        return [{ axis, markIds: [a.id, b.id], p95Mm }];
      }),
    )
    .sort((a, b) => a.p95Mm - b.p95Mm)
    .slice(0, MOST);
}

function middleOf(path: Path): PlanePoint {
  return pointAt(path, placeAtLength(path, pathLengthMm(path) / 2));
}
