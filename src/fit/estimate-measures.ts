import { solvePositive } from '../geometry/solve-positive.ts';
import { HEAD_MEASURES, type HeadMeasure, type HeadMeasures } from './head-measures.ts';
import { COVARIANCES_MM2, GROUP_MEANS, MEANS_MM, REGRESSED } from './head-statistics.ts';

/** A measure that was not taken, worked out from those that were. */
export interface Estimate {
  readonly valueMm: number;
  /** Scatter of real heads round it, one sigma, mm. */
  readonly scatterMm: number;
  /** The measures it was worked out from; none where only the middle of all adults is known. */
  readonly from: readonly HeadMeasure[];
}

const indexOf = (measure: HeadMeasure) => (REGRESSED as readonly HeadMeasure[]).indexOf(measure);

/**
 * Linear regression of one measure on others, out of their means and covariances: mean + c' S^-1 (x - m), scatter
 * sqrt(var - c' S^-1 c) (the conditional normal; for every set of known measures it is the least-squares line).
 */
function regressed(target: number, known: readonly number[], values: readonly number[]): Estimate {
  const matrix = () => known.map((i) => Float64Array.from(known, (j) => COVARIANCES_MM2[i]![j]!));
  const right = Float64Array.from(known, (i) => COVARIANCES_MM2[i]![target]!);
  const weights = known.length === 0 ? [] : solvePositive(matrix(), right);
  let valueMm = MEANS_MM[target]!;
  let variance = COVARIANCES_MM2[target]![target]!;
  weights.forEach((weight, k) => {
    valueMm += weight * (values[k]! - MEANS_MM[known[k]!]!);
    variance -= weight * COVARIANCES_MM2[known[k]!]![target]!;
  });
  return { valueMm, scatterMm: Math.sqrt(variance), from: known.map((i) => REGRESSED[i]!) };
}

/**
 * What a measure is likely to be, mm, from the other measures of the same head (the measure itself is not looked at).
 * Undefined for brow to nape, of which no open data was found.
 */
export function estimateMeasure(measure: HeadMeasure, measures: Partial<HeadMeasures>): Estimate | undefined {
  if (measure === 'earToEarMm' || measure === 'earToBrowMm') {
    const { meanMm, deviationMm, perGirth } = GROUP_MEANS[measure];
    const { girthMm } = measures;
    if (perGirth === 0 || girthMm === undefined) return { valueMm: meanMm, scatterMm: deviationMm, from: [] };
    const valueMm = meanMm + perGirth * (girthMm - MEANS_MM[0]!);
    return { valueMm, scatterMm: deviationMm, from: ['girthMm'] };
  }
  const target = indexOf(measure);
  if (target < 0) return undefined;
  const known = REGRESSED.flatMap((each, i) => (i !== target && measures[each] !== undefined ? [i] : []));
  return regressed(
    target,
    known,
    known.map((i) => measures[REGRESSED[i]!]!),
  );
}

/** Estimates for every measure that was not taken and can be worked out. */
export function missingMeasures(measures: HeadMeasures): Partial<Record<HeadMeasure, Estimate>> {
  const missing: Partial<Record<HeadMeasure, Estimate>> = {};
  for (const measure of HEAD_MEASURES) {
    if (measures[measure] !== undefined) continue;
    const estimate = estimateMeasure(measure, measures);
    if (estimate) missing[measure] = estimate;
  }
  return missing;
}
