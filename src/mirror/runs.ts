import { stretchesAbove } from '../geometry/deviation.ts';
import type { Half } from './axis.ts';
import type { FoldedLine, FoldSample } from './folded-line.ts';

/** A run over the limit on one half of one line. */
export interface Run {
  readonly line: FoldedLine;
  readonly half: Half;
  readonly fromMm: number;
  readonly toMm: number;
  readonly peak: FoldSample;
  /** Numbers of its samples in the line. */
  readonly samples: readonly number[];
}

/** The runs of a line over the limit, none of them running on across the axis or over what is excused. */
export function runsOf(line: FoldedLine, limitMm: number): Run[] {
  const sameHalf = (a: FoldSample, b: FoldSample) => a.half === b.half;
  const judged = line.samples.map((sample) => (sample.isExcused ? { ...sample, deviationMm: 0 } : sample));
  return stretchesAbove(judged, limitMm, line, undefined, sameHalf).map(({ fromMm, toMm, samples }) => {
    const peak = samples
      .map((i) => line.samples[i]!)
      .reduce((best, sample) => (Math.abs(sample.deviationMm) > Math.abs(best.deviationMm) ? sample : best));
    return { line, half: peak.half, fromMm, toMm, peak, samples };
  });
}
