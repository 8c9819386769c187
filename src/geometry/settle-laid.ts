import { extentMm, indexPath } from './flat-path.ts';
import type { EdgeIndex } from './edge-index.ts';
import { pathLengthMm } from './measure.ts';
import type { RigidMotion } from './motion.ts';
import type { Path } from './path.ts';
import {
  type Cloud,
  cloudOf,
  emptyGaps,
  type Gaps,
  measureGaps,
  misfit,
  stepNearer,
  tukeyWeights,
} from './robust-fit.ts';
import { samplePathEvenly } from './sample-path.ts';

interface Settled {
  readonly motion: RigidMotion;
  /** Share of the moved line within `agreeWithinMm` of the fixed one. */
  readonly agreeingShare: number;
  /** 0 coincident .. 1 nothing alike, where a gap of half a millimetre is half a miss. */
  readonly misfit: number;
}

const SAMPLES = 360;
/** Windows of the outline that are tried as the part that did not change: shares of its length, and how many of each. */
const WINDOWS = [0.65, 0.5, 0.35];
const WINDOW_SAMPLES = 160;
const WINDOW_STARTS = 12;
const WINDOW_STEPS = 10;
const MOST_REFINED = 3;
const MISFIT_SCALE_MM = 0.5;
/** Refining begins with gaps of this spread; the wide one lets the short ends of a band pull, the narrow one ignores what was trimmed little. */
const FIRST_SPREADS_MM = [1, 0.2];
const NARROWING = 0.8;
const STEPS = 40;

/**
 * Makes lines that lie roughly on each other (mm) coincide where they are alike. A laying that weighs all of the outline can
 * come to rest between what changed and what did not; so each of many parts of the outline is laid on its own, and
 * the one that then brings most of the whole into place is refined.
 */
export function settleLaid(moving: Path, fixed: Path, start: RigidMotion, agreeWithinMm: number): Settled {
  const cloud = cloudOf([samplePathEvenly(moving, pathLengthMm(moving) / SAMPLES)]);
  const index = indexPath(fixed);
  const gaps = emptyGaps(cloud.count);
  const judged = (motion: RigidMotion) => {
    measureGaps(cloud, motion, [index], gaps);
    return { motion, misfit: misfit(cloud, gaps, MISFIT_SCALE_MM) };
  };
  const coarse = cloudOf([samplePathEvenly(moving, pathLengthMm(moving) / WINDOW_SAMPLES)]);
  const tried = [start, ...windows(coarse).map((window) => layWindow(coarse, index, start, window))]
    .map(judged)
    .sort((a, b) => a.misfit - b.misfit)
    .slice(0, MOST_REFINED);
  const finestMm = 2e-5 * extentMm(fixed);
  const refined = tried.flatMap(({ motion }) =>
    FIRST_SPREADS_MM.map((spreadMm) => judged(refine(cloud, index, motion, spreadMm, finestMm))),
  );
  const best = refined.reduce((least, other) => (other.misfit < least.misfit ? other : least));
  measureGaps(cloud, best.motion, [index], gaps);
  return { ...best, agreeingShare: shareWithin(cloud, gaps, agreeWithinMm) };
}

function shareWithin(cloud: Cloud, { gapMm }: Gaps, mm: number): number {
  let [within, total] = [0, 0];
  cloud.weights.forEach((weight, i) => {
    total += weight;
    if (gapMm[i]! <= mm) within += weight;
  });
  return within / total;
}

/** Which samples lie in each window. */
function windows({ count }: Cloud): ((i: number) => boolean)[] {
  return WINDOWS.flatMap((share) =>
    Array.from({ length: WINDOW_STARTS }, (_, k) => {
      const first = Math.floor((k * count) / WINDOW_STARTS);
      return (i: number) => (i - first + count) % count < share * count;
    }),
  );
}

function layWindow(
  cloud: Cloud,
  index: EdgeIndex,
  start: RigidMotion,
  isIn: (i: number) => boolean,
): RigidMotion {
  const weights = cloud.weights.map((weight, i) => (isIn(i) ? weight : 0));
  let motion = start;
  for (let i = 0; i < WINDOW_STEPS; i++) motion = stepped(cloud, index, motion, () => weights);
  return motion;
}

function refine(
  cloud: Cloud,
  index: EdgeIndex,
  start: RigidMotion,
  firstSpreadMm: number,
  finestMm: number,
): RigidMotion {
  let motion = start;
  for (let i = 0; i < STEPS; i++) {
    const spreadMm = Math.max(finestMm, firstSpreadMm * NARROWING ** i);
    motion = stepped(cloud, index, motion, (gaps) => tukeyWeights(cloud, gaps, spreadMm));
  }
  return motion;
}

/** One step of laying, about the middle of what is laid. */
function stepped(
  cloud: Cloud,
  index: EdgeIndex,
  motion: RigidMotion,
  weigh: (gaps: Gaps) => Float64Array,
): RigidMotion {
  const gaps = emptyGaps(cloud.count);
  measureGaps(cloud, motion, [index], gaps);
  return stepNearer(motion, gaps, weigh(gaps)).motion;
}
