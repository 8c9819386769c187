import {
  type DeviationFigures,
  deviationFigures,
  deviationFrom,
  type DeviationSample,
} from '../geometry/deviation.ts';
import { indexPath } from '../geometry/flat-path.ts';
import type { LineKind, PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { offsetFromLineMm, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import { samplePath } from '../geometry/sample-path.ts';
import type { Half } from './axis.ts';

/** A place on a line, and how far it lies from the mirrored other half. */
export interface FoldSample extends DeviationSample {
  readonly half: Half;
}

/** One line of the piece laid on its mirror image, sampled along its length (for the strip chart and the offset arrows). */
export interface FoldedLine extends DeviationFigures {
  readonly lineId: string;
  readonly kind: LineKind;
  /** The line it was laid on: itself, or its partner on the other side. */
  readonly twinId: string;
  readonly closed: boolean;
  readonly lengthMm: number;
  readonly samples: readonly FoldSample[];
}

/** Samples along a line are this far apart, mm, or closer on small lines. */
const SPACING_MM = 0.5;
const FEWEST_SAMPLES = 400;

/** Reflects a line across the axis, lays it on its twin, and measures how far each place lies off. */
export function foldLineOn(line: PieceLine, twin: PieceLine, axis: StraightLine): FoldedLine {
  const lengthMm = pathLengthMm(line.path);
  const spacing = Math.max(Math.min(SPACING_MM, lengthMm / FEWEST_SAMPLES), Number.MIN_VALUE);
  const deviations = deviationFrom(
    samplePath(line.path, spacing),
    reflectionAcross(axis),
    indexPath(twin.path),
  );
  const samples = deviations.map(
    (sample): FoldSample => ({
      ...sample,
      half: offsetFromLineMm(axis, sample.point) >= 0 ? 'left' : 'right',
    }),
  );
  return {
    lineId: line.id,
    kind: line.kind,
    twinId: twin.id,
    closed: line.path.closed,
    lengthMm,
    samples,
    ...deviationFigures(samples),
  };
}
