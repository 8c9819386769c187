/**
 * Published figures of adult heads, mm. tests/fit/head-statistics.test.ts works out afresh, from the data, whatever
 * comes from ANSUR II.
 *
 * ANSUR II: 2012, NATICK/TR-15/007, 4,082 men and 1,986 women, soldiers; women with braids were measured over them, so
 * their girths are on the large side. It holds no arc over the top of the head.
 * NIOSH 2003: Zhuang and Bradtmiller, J Occup Environ Hyg 2005, 2(11):567-576, 2,543 men and 1,454 women, civilians;
 * means and standard deviations as in FACTS section 2.5.
 */
import type { HeadMeasure } from './head-measures.ts';

/** Measures whose every person is in ANSUR II, so that one can be worked out from the others. */
export const REGRESSED = ['girthMm', 'headLengthMm', 'headBreadthMm', 'browToChinMm'] as const;

/** Means of `REGRESSED` over women and men with equal weight, mm. */
export const MEANS_MM: readonly number[] = [567.746, 194.662, 151.05, 117.869];

/** Covariances of `REGRESSED` over women and men with equal weight, mm2. */
export const COVARIANCES_MM2: readonly (readonly number[])[] = [
  [359.985, 133.061, 71.143, 66.773],
  [133.061, 75.846, 23.559, 37.132],
  [71.143, 23.559, 39.531, 21.451],
  [66.773, 37.132, 21.451, 63.523],
];

export interface Spread {
  readonly p1: number;
  readonly p5: number;
  readonly p50: number;
  readonly p95: number;
  readonly p99: number;
}

interface Adults {
  readonly source: 'ANSUR II' | 'NIOSH 2003';
  readonly women: Spread;
  readonly men: Spread;
  /** Smallest and largest person, where known. */
  readonly extremes?: readonly [number, number];
}

/** Percentiles by linear interpolation; those of NIOSH from mean and standard deviation of a normal spread. */
export const ADULTS: Readonly<Partial<Record<HeadMeasure, Adults>>> = {
  girthMm: {
    source: 'ANSUR II',
    women: { p1: 521, p5: 532, p50: 560, p95: 597, p99: 611 },
    men: { p1: 538, p5: 548, p50: 574, p95: 601, p99: 614 },
    extremes: [500, 635],
  },
  headLengthMm: {
    source: 'ANSUR II',
    women: { p1: 172, p5: 178, p50: 190, p95: 202, p99: 208 },
    men: { p1: 182, p5: 188, p50: 200, p95: 211, p99: 215 },
    extremes: [168, 225],
  },
  headBreadthMm: {
    source: 'ANSUR II',
    women: { p1: 136, p5: 140, p50: 147, p95: 156, p99: 160 },
    men: { p1: 142, p5: 146, p50: 154, p95: 163, p99: 168 },
    extremes: [131, 180],
  },
  browToChinMm: {
    source: 'ANSUR II',
    women: { p1: 100, p5: 104, p50: 113, p95: 123, p99: 128 },
    men: { p1: 107, p5: 112, p50: 123, p95: 134, p99: 138 },
    extremes: [91, 156],
  },
  earToEarMm: {
    source: 'NIOSH 2003',
    women: normalSpread(341, 15.6),
    men: normalSpread(350.7, 14.1),
  },
  // Half of the arc from ear to ear over the brow, whose mean and deviation are 288.9 (12.3) and 304.4 (12.9).
  earToBrowMm: {
    source: 'NIOSH 2003',
    women: normalSpread(288.9 / 2, 12.3 / 2),
    men: normalSpread(304.4 / 2, 12.9 / 2),
  },
};

function normalSpread(mean: number, deviation: number): Spread {
  const at = (z: number) => mean + z * deviation;
  return { p1: at(-2.3263), p5: at(-1.6449), p50: mean, p95: at(1.6449), p99: at(2.3263) };
}

/** A measure that NIOSH gives by mean and deviation only, over women and men with equal weight. */
export interface GroupMean {
  readonly meanMm: number;
  /** Scatter round what is worked out below, one standard deviation, mm. */
  readonly deviationMm: number;
  /** mm per mm of girth away from its mean. */
  readonly perGirth: number;
}

/**
 * Ear to ear over the top: means of both sexes halved; how it follows the girth was not published with them, so that is
 * taken from ANSUR II, where half an ellipse over breadth and height above the ear stands for the arc (correlation
 * with the girth 0.50 in men, 0.46 in women). Ear to brow: the middle of all adults.
 */
export const GROUP_MEANS: Readonly<Record<'earToEarMm' | 'earToBrowMm', GroupMean>> = {
  earToEarMm: { meanMm: 345.85, deviationMm: 13.2, perGirth: 0.44 },
  earToBrowMm: { meanMm: 148.325, deviationMm: 7.4, perGirth: 0 },
};
