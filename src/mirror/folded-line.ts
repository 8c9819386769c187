import {
  type DeviationFigures,
  deviationFigures,
  deviationFrom,
  type DeviationSample,
} from '../geometry/deviation.ts';
import { indexPath } from '../geometry/flat-path.ts';
import type { LineKind, PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import type { RigidMotion } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { samplePath } from '../geometry/sample-path.ts';
import type { Half } from './axis.ts';

/** A place on a line, and how far it lies from the mirrored other half. */
export interface FoldSample extends DeviationSample {
  readonly half: Half;
  /** Set where the maker said that the piece is uneven on purpose: in none of the figures. */
  readonly isExcused?: true;
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

/** Lays a line on its twin by `motion` and measures how far each place lies off; `halfOf` says which half a place belongs to. */
export function layLineOn(
  line: PieceLine,
  twin: PieceLine,
  motion: RigidMotion,
  halfOf: (point: PlanePoint) => Half,
): FoldedLine {
  const lengthMm = pathLengthMm(line.path);
  const spacing = Math.max(Math.min(SPACING_MM, lengthMm / FEWEST_SAMPLES), Number.MIN_VALUE);
  const deviations = deviationFrom(samplePath(line.path, spacing), motion, indexPath(twin.path));
  const samples = deviations.map((sample): FoldSample => ({ ...sample, half: halfOf(sample.point) }));
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
