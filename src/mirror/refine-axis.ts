import type { EdgeIndex } from '../geometry/edge-index.ts';
import { footOnLine, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { type Cloud, emptyGaps, type Gaps, measureGaps, misfit, solveStep } from '../geometry/robust-fit.ts';
import { directionOf, plus, quarterLeft, times } from '../geometry/vector.ts';

export interface RefineOptions {
  readonly steps: number;
  /** How much each sample counts in a step, by its gap. */
  readonly weigh: (cloud: Cloud, gaps: Gaps, step: number) => Float64Array;
  /** Fewest steps, however small they become. */
  readonly leastSteps: number;
  /** A step smaller than this at the outline's edge ends the refinement, mm. */
  readonly stopMm: number;
  /** False keeps the angle and only shifts the axis sideways. */
  readonly mayTurn: boolean;
}

/**
 * Reflect and register: the lines are reflected across the axis and laid on themselves; the small turn and sideways shift
 * that lessen the gaps move the axis by half as much, since a reflection doubles both. `extentMm` is the outline's size.
 */
export function refineAxis(
  cloud: Cloud,
  indexes: readonly EdgeIndex[],
  start: StraightLine,
  extentMm: number,
  { steps, leastSteps, weigh, stopMm, mayTurn }: RefineOptions,
): StraightLine {
  const gaps = emptyGaps(cloud.count);
  let axis = start;
  for (let i = 0; i < steps; i++) {
    measureGaps(cloud, reflectionAcross(axis), indexes, gaps);
    const centre = footOnLine(axis, middleOf(gaps));
    const normal = quarterLeft(directionOf(axis.angleRad));
    const step = solveStep(gaps, weigh(cloud, gaps, i), centre, [normal], mayTurn);
    const shiftMm = step.shiftsMm[0]! / 2;
    axis = { point: plus(centre, times(normal, shiftMm)), angleRad: axis.angleRad + step.turnRad / 2 };
    if (i >= leastSteps && Math.abs(shiftMm) + Math.abs(step.turnRad) * extentMm < stopMm) break;
  }
  return axis;
}

/** How little the lines coincide with their reflection: 0 they do, 1 not at all. Gaps of `scaleMm` count half. */
export function axisMisfit(
  cloud: Cloud,
  indexes: readonly EdgeIndex[],
  axis: StraightLine,
  scaleMm: number,
): number {
  const gaps = emptyGaps(cloud.count);
  measureGaps(cloud, reflectionAcross(axis), indexes, gaps);
  return misfit(cloud, gaps, scaleMm);
}

function middleOf({ qx, qy }: Gaps): PlanePoint {
  const mean = (values: Float64Array) => values.reduce((sum, v) => sum + v, 0) / values.length;
  return { x: mean(qx), y: mean(qy) };
}
