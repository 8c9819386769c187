import { statedTolerance } from '../stated-tolerance.ts';
import { estimateMeasure } from './estimate-measures.ts';
import { girthSense } from './girth-sense.ts';
import { type HeadMeasure, type HeadMeasures, MEASURE_NAMES } from './head-measures.ts';
import { ADULTS } from './head-statistics.ts';

/** How many standard deviations two measures may disagree by before it is said: 3 in 1,000 heads do. */
const ODD_SIGMAS = 3;

const whole = (mm: number) => mm.toFixed(0);

/** Where adults lie, for a maker who wonders: "178-202 mm in most women, 188-211 mm in most men". */
export function usualRangeWords(measure: HeadMeasure): string | undefined {
  const adults = ADULTS[measure];
  if (!adults) return undefined;
  const { women, men } = adults;
  return `${whole(women.p5)}-${whole(women.p95)} mm in 9 of 10 women, ${whole(men.p5)}-${whole(men.p95)} mm in 9 of 10 men`;
}

/** Against the adults of the published surveys. */
function rarity(measure: HeadMeasure, mm: number): string | undefined {
  if (measure === 'girthMm') return girthSense(mm).message || undefined;
  const adults = ADULTS[measure];
  if (!adults || (mm >= adults.women.p1 && mm <= adults.men.p99)) return undefined;
  const name = MEASURE_NAMES[measure];
  const [smallest, largest] = adults.extremes ?? [-Infinity, Infinity];
  if (mm < smallest || mm > largest)
    return `${name} of ${whole(mm)} mm lies outside all adults measured (${smallest}-${largest} mm). A child's may; otherwise measure again before cutting.`;
  return `${name} of ${whole(mm)} mm is rarer than 1 adult in 100 (${whole(adults.women.p1)}-${whole(adults.men.p99)} mm holds nearly all). Worth a second look at the tape.`;
}

/** Against the other measures of the same head. */
function disagreement(measure: HeadMeasure, mm: number, measures: Partial<HeadMeasures>): string | undefined {
  const { [measure]: _, ...others } = measures;
  const estimate = estimateMeasure(measure, others);
  if (!estimate || estimate.from.length === 0) return undefined;
  if (Math.abs(mm - estimate.valueMm) <= ODD_SIGMAS * estimate.scatterMm) return undefined;
  return `${MEASURE_NAMES[measure]} of ${whole(mm)} mm goes oddly with the other measures, from which ${whole(estimate.valueMm)} ± ${whole(statedTolerance(estimate.scatterMm))} mm would be expected. Keep it if a second try gives the same.`;
}

/** A path over the top, which no open survey gives, can only be compared with the head it goes over. */
function napeSense(mm: number, { girthMm, headLengthMm }: Partial<HeadMeasures>): string | undefined {
  if (headLengthMm !== undefined && mm <= headLengthMm)
    return `Brow to nape goes over the top, so it must be longer than the head (${whole(headLengthMm)} mm). Measure again, with the tape lying on the head.`;
  if (girthMm !== undefined && mm >= girthMm)
    return `Brow to nape ends at the bump at the back of the skull, so it is shorter than the whole way round (${whole(girthMm)} mm). Measure again.`;
  return undefined;
}

/**
 * What is odd about a measure in mm, in a kind sentence: beside what adults have been measured, and beside the other
 * measures of the same head. Undefined when nothing is. It never refuses: somebody is the one in a thousand.
 */
export function measureSense(
  measure: HeadMeasure,
  mm: number,
  measures: Partial<HeadMeasures>,
): string | undefined {
  if (measure === 'browToNapeMm') return napeSense(mm, measures);
  return rarity(measure, mm) ?? disagreement(measure, mm, measures);
}
