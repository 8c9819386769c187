import type { EdgeIndex } from './edge-index.ts';
import { extentMm, indexPath } from './flat-path.ts';
import { pathLengthMm } from './measure.ts';
import { mover, type RigidMotion } from './motion.ts';
import type { Path } from './path.ts';
import { distanceMm, type PlanePoint } from './point.ts';
import {
  type Cloud,
  cloudOf,
  emptyGaps,
  medianGapMm,
  measureGaps,
  misfit,
  narrowingSpreadMm,
  stepNearer,
  trimmedWeights,
  tukeyWeights,
} from './robust-fit.ts';
import { samplePathEvenly } from './sample-path.ts';

export interface LaidOn {
  readonly motion: RigidMotion;
  /** Share of the moved line that lies within `agreeWithinMm` of the fixed one. */
  readonly agreeingShare: number;
  /** Median distance of the moved line from the fixed one, mm. */
  readonly medianGapMm: number;
  /** 0 coincident .. 1 nothing alike; for comparing ways of laying. */
  readonly misfit: number;
}

export interface LayOnOptions {
  /** Turn the moved line over first (a left piece on a right one). */
  readonly mirrored?: boolean;
  /** For `agreeingShare`, mm. */
  readonly agreeWithinMm?: number;
}

/** Starts every 10 degrees: closer than the turn that the steps can make good on any outline. */
const START_ANGLES = 36;
const COARSE_SAMPLES = 160;
const FINE_SAMPLES = 800;
/** Coarse steps trust this share of the outline, so that up to a third may be trimmed away. */
const TRUSTED_SHARE = 0.65;
/** Gaps of this share of the outline's extent count as half a miss when ways of laying are compared. */
const MISFIT_SCALE = 0.01;

/**
 * Lays one closed outline on another by a rigid motion, without scaling, so that the parts that are alike
 * coincide however the rest was trimmed: every starting angle is tried, the best are refined with robust weights.
 */
export function layOn(moving: Path, fixed: Path, options: LayOnOptions = {}): LaidOn {
  return refineStarts(moving, fixed, options, (swept) => swept.slice(0, 3))[0]!;
}

/** Coarse ways more misfitting than the best by this are not worth refining. */
const HOPEFUL_MISFIT = 0.25;
const MOST_WAYS = 8;
/** Ways that differ by less than this turn (about 6 degrees) and share of the extent are one and the same. */
const SAME_TURN_RAD = 0.1;
const SAME_PLACE = 0.02;

/**
 * All unlike ways to lay one closed outline on another, best first: more than one fits well when the outline has a
 * symmetry of its own (a rectangle half turned), and every one does on a circle. Never empty.
 */
export function waysToLay(moving: Path, fixed: Path, options: LayOnOptions = {}): LaidOn[] {
  const middle = middleOf(moving);
  const nearMm = SAME_PLACE * extentMm(fixed);
  const isSame = (a: RigidMotion, b: RigidMotion) => {
    const turn = Math.abs(a.angleRad - b.angleRad) % (2 * Math.PI);
    if (Math.min(turn, 2 * Math.PI - turn) > SAME_TURN_RAD) return false;
    return distanceMm(mover(a)(middle), mover(b)(middle)) < nearMm;
  };
  const unlike = <Way extends { readonly motion: RigidMotion }>(ways: readonly Way[]) =>
    ways.filter((way, i) => !ways.slice(0, i).some((better) => isSame(better.motion, way.motion)));
  const refined = refineStarts(moving, fixed, options, (swept) =>
    unlike(swept.filter(({ misfit }) => misfit <= swept[0]!.misfit + HOPEFUL_MISFIT)).slice(0, MOST_WAYS),
  );
  return unlike(refined);
}

interface Swept {
  readonly motion: RigidMotion;
  readonly misfit: number;
}

/** Sweeps all starting angles, refines those that `choose` takes from the swept ones (best first); best first. */
function refineStarts(
  moving: Path,
  fixed: Path,
  { mirrored = false, agreeWithinMm = 0.5 }: LayOnOptions,
  choose: (swept: readonly Swept[]) => readonly Swept[],
): LaidOn[] {
  const extent = extentMm(fixed);
  const coarse = sampleCloud(moving, COARSE_SAMPLES);
  const coarseIndex = indexPath(fixed, 2e-4 * extent);
  const swept = startMotions(moving, fixed, mirrored)
    .map((start) => coarseSteps(coarse, coarseIndex, start))
    .map((motion) => ({ motion, misfit: misfitOf(coarse, coarseIndex, motion, MISFIT_SCALE * extent) }))
    .sort((a, b) => a.misfit - b.misfit);
  const fine = sampleCloud(moving, FINE_SAMPLES);
  const index = indexPath(fixed);
  return choose(swept)
    .map(({ motion }) => fineSteps(fine, index, motion, extent))
    .map((motion) => describe(fine, index, motion, agreeWithinMm, MISFIT_SCALE * extent))
    .sort((a, b) => a.misfit - b.misfit);
}

function sampleCloud(path: Path, count: number): Cloud {
  return cloudOf([samplePathEvenly(path, pathLengthMm(path) / count)]);
}

/** The middle of an outline: of its points evenly spread, not of its nodes. */
function middleOf(path: Path): PlanePoint {
  const samples = samplePathEvenly(path, pathLengthMm(path) / COARSE_SAMPLES);
  const total = samples.reduce((sum, { weightMm }) => sum + weightMm, 0);
  const sum = (pick: (p: PlanePoint) => number) =>
    samples.reduce((s, { point, weightMm }) => s + weightMm * pick(point), 0);
  return { x: sum(({ x }) => x) / total, y: sum(({ y }) => y) / total };
}

function startMotions(moving: Path, fixed: Path, mirrored: boolean): RigidMotion[] {
  const [from, to] = [middleOf(moving), middleOf(fixed)];
  return Array.from({ length: START_ANGLES }, (_, k) => {
    const turn = { mirrored, angleRad: (2 * Math.PI * k) / START_ANGLES, shift: { x: 0, y: 0 } };
    const turned = mover(turn)(from);
    return { ...turn, shift: { x: to.x - turned.x, y: to.y - turned.y } };
  });
}

function coarseSteps(cloud: Cloud, index: EdgeIndex, start: RigidMotion): RigidMotion {
  const gaps = emptyGaps(cloud.count);
  let motion = start;
  for (let i = 0; i < 8; i++) {
    measureGaps(cloud, motion, [index], gaps);
    motion = stepNearer(motion, gaps, trimmedWeights(cloud, gaps, TRUSTED_SHARE)).motion;
  }
  return motion;
}

function fineSteps(cloud: Cloud, index: EdgeIndex, start: RigidMotion, extent: number): RigidMotion {
  const finestMm = 2e-5 * extent;
  const gaps = emptyGaps(cloud.count);
  let motion = start;
  for (let i = 0; i < 60; i++) {
    measureGaps(cloud, motion, [index], gaps);
    const spreadMm = narrowingSpreadMm(i, extent, finestMm);
    const next = stepNearer(motion, gaps, tukeyWeights(cloud, gaps, spreadMm));
    motion = next.motion;
    const { step } = next;
    const isStill = Math.hypot(...step.shiftsMm) < 1e-4 * finestMm && Math.abs(step.turnRad) < 1e-9;
    if (isStill && spreadMm === finestMm) break;
  }
  return motion;
}

function misfitOf(cloud: Cloud, index: EdgeIndex, motion: RigidMotion, scaleMm: number): number {
  const gaps = emptyGaps(cloud.count);
  measureGaps(cloud, motion, [index], gaps);
  return misfit(cloud, gaps, scaleMm);
}

function describe(
  cloud: Cloud,
  index: EdgeIndex,
  motion: RigidMotion,
  agreeWithinMm: number,
  scaleMm: number,
): LaidOn {
  const gaps = emptyGaps(cloud.count);
  measureGaps(cloud, motion, [index], gaps);
  let [agreeing, total] = [0, 0];
  cloud.weights.forEach((w, i) => {
    total += w;
    if (gaps.gapMm[i]! <= agreeWithinMm) agreeing += w;
  });
  return {
    motion,
    agreeingShare: agreeing / total,
    medianGapMm: medianGapMm(gaps),
    misfit: misfit(cloud, gaps, scaleMm),
  };
}
