import { deviationFrom, type DeviationSample } from '../geometry/deviation.ts';
import type { EdgeIndex } from '../geometry/edge-index.ts';
import { indexPath } from '../geometry/flat-path.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { median } from '../geometry/median.ts';
import type { RigidMotion } from '../geometry/motion.ts';
import { nearestOnPath } from '../geometry/nearest.ts';
import type { Path } from '../geometry/path.ts';
import { placeAtLength } from '../geometry/place.ts';
import { distanceMm } from '../geometry/point.ts';
import { samplePath } from '../geometry/sample-path.ts';
import { startAt } from '../geometry/split-path.ts';

/** One of two outlines laid on each other, as seen from along it. */
export interface Side {
  readonly path: Path;
  readonly lengthMm: number;
  /** In order; the first one again at the end, a round later. Deviation positive outside the other outline. */
  readonly samples: readonly DeviationSample[];
  /** Length along the other outline at the place nearest to each sample. */
  readonly matchMm: readonly number[];
}

/** Both outlines started at a place where they agree, so that no unlikeness runs over the start. */
export interface BothSides {
  readonly old: Side;
  readonly fresh: Side;
  /** Length along the outlines as they were given, at the common start. */
  readonly startMm: { readonly old: number; readonly fresh: number };
}

const STAY: RigidMotion = { mirrored: false, angleRad: 0, shift: { x: 0, y: 0 } };
const SPACING_MM = 0.5;
const FEWEST_SAMPLES = 400;

/** Lays two closed outlines of one frame side by side. Both must run the same way round. */
export function bothSides(oldPath: Path, freshPath: Path): BothSides {
  const oldStartMm = agreedStartMm(oldPath, freshPath);
  const oldPlace = placeAtLength(oldPath, oldStartMm);
  const old = startAt(oldPath, oldPlace);
  const { place, alongMm } = nearestOnPath(freshPath, old.start);
  const fresh = startAt(freshPath, place);
  return {
    old: sideOf(old, fresh),
    fresh: sideOf(fresh, old),
    startMm: { old: oldStartMm, fresh: alongMm },
  };
}

function samplesOf(path: Path, lengthMm: number) {
  return samplePath(path, Math.min(SPACING_MM, lengthMm / FEWEST_SAMPLES));
}

/** The middle of the longest run on which the outlines lie close; their nearest place when they nowhere do. */
function agreedStartMm(path: Path, other: Path): number {
  const samples = deviationFrom(samplesOf(path, pathLengthMm(path)), STAY, indexPath(other));
  const closeMm = agreementMm(samples);
  const isClose = samples.map(({ deviationMm }) => Math.abs(deviationMm) <= closeMm);
  const open = isClose.indexOf(false);
  let best = { middle: 0, count: 0 };
  let count = 0;
  for (let k = 1; k <= samples.length; k++) {
    const i = (open + k) % samples.length;
    count = isClose[i] ? count + 1 : 0;
    if (count > best.count) best = { middle: i - Math.floor(count / 2), count };
  }
  const nearest = samples.reduce(
    (least, { deviationMm }, i) =>
      Math.abs(deviationMm) < Math.abs(samples[least]!.deviationMm) ? i : least,
    0,
  );
  const index = open < 0 ? 0 : best.count > 0 ? (best.middle + samples.length) % samples.length : nearest;
  return samples[index]!.alongMm;
}

const LEAST_AGREEMENT_MM = 0.15;

/** Edges closer than this agree, mm: three times the usual gap, for a photo's edges are never quite still. */
export function agreementMm(samples: readonly DeviationSample[]): number {
  const usual = median(samples.map(({ deviationMm }) => Math.abs(deviationMm)));
  return Math.min(1, Math.max(LEAST_AGREEMENT_MM, 3 * usual));
}

function sideOf(path: Path, other: Path): Side {
  const lengthMm = pathLengthMm(path);
  const index = indexPath(other);
  const samples = deviationFrom(samplesOf(path, lengthMm), STAY, index);
  const [first] = samples;
  const along = lengthsAlong(index);
  const matchMm = samples.map(({ point: { x, y } }) => along(index.nearest(x, y)!));
  // The start is the same place on both, and so is the end: the nearest one may be told as either.
  matchMm[0] = 0;
  return {
    path,
    lengthMm,
    samples: [...samples, { ...first!, alongMm: lengthMm, weightMm: 0 }],
    matchMm: [...matchMm, pathLengthMm(other)],
  };
}

/** Length along the indexed closed polyline of a place found on it. */
function lengthsAlong({ lines }: EdgeIndex): (found: { edge: number; u: number }) => number {
  const { points } = lines[0]!;
  const starts = [0];
  points.forEach((a, i) => starts.push(starts[i]! + distanceMm(a, points[(i + 1) % points.length]!)));
  return ({ edge, u }) => starts[edge]! + u * (starts[edge + 1]! - starts[edge]!);
}
