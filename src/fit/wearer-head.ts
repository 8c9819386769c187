import { estimateMeasure } from './estimate-measures.ts';
import type { HeadSize } from './head-oval.ts';
import type { HeadMeasures } from './head-measures.ts';

/** The size of a wearer's head in the plane of its girth, mm: length and breadth as measured, else as they most likely are. */
export function headSizeOf(measures: HeadMeasures): HeadSize {
  const { girthMm, headLengthMm, headBreadthMm } = measures;
  return {
    girthMm,
    lengthMm: headLengthMm ?? estimateMeasure('headLengthMm', measures)!.valueMm,
    breadthMm: headBreadthMm ?? estimateMeasure('headBreadthMm', measures)!.valueMm,
  };
}
