import type { EdgeIndex } from './edge-index.ts';
import { median } from './median.ts';
import type { RigidMotion } from './motion.ts';
import type { PathSample } from './sample-path.ts';
import { solvePositive } from './solve-positive.ts';

/**
 * The inner step of laying lines on lines: each sample looks for its nearest point on the lines it belongs to,
 * and a small turn and shift is found that lessens the gaps (point-to-line iterative closest point,
 * Chen and Medioni 1992). Samples with large gaps are given little or no weight, so that a damaged or trimmed
 * part does not drag the rest.
 */

/** Evenly spread samples of one or several lines; each is matched only with the lines of its own group. */
export interface Cloud {
  readonly count: number;
  readonly xs: Float64Array;
  readonly ys: Float64Array;
  /** Length that each sample stands for, mm. */
  readonly weights: Float64Array;
  readonly groups: Int32Array;
}

/** Gaps of a laid cloud: where each sample lies, the unit direction from its nearest point to it, and the distance, mm. */
export interface Gaps {
  readonly qx: Float64Array;
  readonly qy: Float64Array;
  readonly nx: Float64Array;
  readonly ny: Float64Array;
  readonly gapMm: Float64Array;
}

export function cloudOf(groups: readonly (readonly PathSample[])[]): Cloud {
  const all = groups.flatMap((samples, group) => samples.map((sample) => ({ sample, group })));
  return {
    count: all.length,
    xs: Float64Array.from(all, ({ sample }) => sample.point.x),
    ys: Float64Array.from(all, ({ sample }) => sample.point.y),
    weights: Float64Array.from(all, ({ sample }) => Math.max(sample.weightMm, Number.MIN_VALUE)),
    groups: Int32Array.from(all, ({ group }) => group),
  };
}

export function emptyGaps(count: number): Gaps {
  const column = () => new Float64Array(count);
  return { qx: column(), qy: column(), nx: column(), ny: column(), gapMm: column() };
}

/** Lays the cloud by `motion` and measures its gaps into `gaps`. */
export function measureGaps(
  cloud: Cloud,
  motion: RigidMotion,
  indexes: readonly EdgeIndex[],
  gaps: Gaps,
): void {
  const [c, s] = [Math.cos(motion.angleRad), Math.sin(motion.angleRad)];
  const flip = motion.mirrored ? -1 : 1;
  for (let i = 0; i < cloud.count; i++) {
    const [x, y] = [cloud.xs[i]!, flip * cloud.ys[i]!];
    const qx = c * x - s * y + motion.shift.x;
    const qy = s * x + c * y + motion.shift.y;
    const found = indexes[cloud.groups[i]!]!.nearest(qx, qy)!;
    gaps.qx[i] = qx;
    gaps.qy[i] = qy;
    gaps.gapMm[i] = found.distanceMm;
    if (found.distanceMm > 0) {
      gaps.nx[i] = (qx - found.x) / found.distanceMm;
      gaps.ny[i] = (qy - found.y) / found.distanceMm;
    } else edgeNormal(indexes[cloud.groups[i]!]!, found.line, found.edge, gaps, i);
  }
}

/** A sample right on the line still holds it in place: across its edge. */
function edgeNormal(index: EdgeIndex, line: number, edge: number, gaps: Gaps, i: number): void {
  const { points } = index.lines[line]!;
  const [a, b] = [points[edge]!, points[(edge + 1) % points.length]!];
  const length = Math.hypot(b.x - a.x, b.y - a.y) || 1;
  gaps.nx[i] = (b.y - a.y) / length;
  gaps.ny[i] = (a.x - b.x) / length;
}

/** Gaps of each group in ascending order. The samples of a group are evenly spread, so each counts alike. */
function sortedByGroup(cloud: Cloud, { gapMm }: Gaps): Map<number, Float64Array> {
  const groups = new Map<number, number[]>();
  for (let i = 0; i < cloud.count; i++) {
    const group = groups.get(cloud.groups[i]!);
    if (group) group.push(gapMm[i]!);
    else groups.set(cloud.groups[i]!, [gapMm[i]!]);
  }
  return new Map(Array.from(groups, ([group, gaps]) => [group, Float64Array.from(gaps).sort()]));
}

/** For each sample's group, the gap that `share` of the group does not exceed, mm. */
function groupQuantiles(cloud: Cloud, gaps: Gaps, share: number): (i: number) => number {
  const quantiles = new Map(
    Array.from(sortedByGroup(cloud, gaps), ([group, sorted]) => [
      group,
      sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!,
    ]),
  );
  return (i) => quantiles.get(cloud.groups[i]!)!;
}

/** Within each group, a share of the samples with the least gaps count in full, the rest not at all. */
export function trimmedWeights(cloud: Cloud, gaps: Gaps, share: number): Float64Array {
  const limit = groupQuantiles(cloud, gaps, share);
  return cloud.weights.map((w, i) => (gaps.gapMm[i]! <= limit(i) ? w : 0));
}

/**
 * Tukey's biweight with each group's spread read from its own gaps (median absolute gap / 0.6745, constant 4.685:
 * Huber, Robust Statistics, from memory); the spread is never taken as less than `floorMm`.
 */
export function tukeyWeights(cloud: Cloud, gaps: Gaps, floorMm: number): Float64Array {
  const middle = groupQuantiles(cloud, gaps, 0.5);
  return cloud.weights.map((w, i) => {
    const share = gaps.gapMm[i]! / (4.685 * Math.max(floorMm, middle(i) / 0.6745));
    return share < 1 ? w * (1 - share * share) ** 2 : 0;
  });
}

/**
 * Least spread to reckon with in refining step `step`, mm: wide at first and narrowing to `finestMm`, so that a few samples
 * that alone hold a line in place (the short ends of a band) are not cast off before they could pull.
 */
export function narrowingSpreadMm(step: number, extentMm: number, finestMm: number): number {
  return Math.max(finestMm, FIRST_SPREAD * extentMm * NARROWING ** step);
}

const FIRST_SPREAD = 0.005;
const NARROWING = 0.75;

/** Median gap of the whole cloud, mm. */
export function medianGapMm({ gapMm }: Gaps): number {
  return median(gapMm);
}

/** Weighted mean of gap^2 / (gap^2 + scale^2): 0 when all coincide, 1 when nothing does; far parts count no more than once. */
export function misfit(cloud: Cloud, { gapMm }: Gaps, scaleMm: number): number {
  let [sum, total] = [0, 0];
  for (let i = 0; i < cloud.count; i++) {
    const square = gapMm[i]! * gapMm[i]!;
    sum += (cloud.weights[i]! * square) / (square + scaleMm * scaleMm);
    total += cloud.weights[i]!;
  }
  return sum / total;
}

/** A small change of the laid cloud: turned by `turnRad` about the centre it was solved for, then shifted. */
export interface SmallStep {
  readonly turnRad: number;
  /** Shift along each of the directions that were allowed, mm. */
  readonly shiftsMm: readonly number[];
}

/**
 * The turn about `centre` and the shifts along `directions` (unit vectors; one or two) that least-squares
 * reduce the weighted gaps, each measured across the line it faces. `mayTurn` false keeps the angle.
 * A little damping keeps what the gaps do not determine (the turn of a circle) where it is.
 */
export function solveStep(
  gaps: Gaps,
  weights: Float64Array,
  centre: { readonly x: number; readonly y: number },
  directions: readonly { readonly x: number; readonly y: number }[],
  mayTurn = true,
): SmallStep {
  const size = 1 + directions.length;
  const leverMm = farthestMm(gaps, centre);
  const normal = Array.from({ length: size }, () => new Float64Array(size));
  const right = new Float64Array(size);
  const row = new Float64Array(size);
  for (let i = 0; i < weights.length; i++) {
    const w = weights[i]!;
    if (w === 0) continue;
    const [nx, ny] = [gaps.nx[i]!, gaps.ny[i]!];
    // The turn is solved for as a shift at the farthest sample, so that all unknowns are alike in size.
    row[0] = mayTurn ? (ny * (gaps.qx[i]! - centre.x) - nx * (gaps.qy[i]! - centre.y)) / leverMm : 0;
    for (let k = 1; k < size; k++) row[k] = nx * directions[k - 1]!.x + ny * directions[k - 1]!.y;
    for (let a = 0; a < size; a++) {
      right[a]! -= w * row[a]! * gaps.gapMm[i]!;
      for (let b = 0; b < size; b++) normal[a]![b]! += w * row[a]! * row[b]!;
    }
  }
  const trace = normal.reduce((sum, line, a) => sum + line[a]!, 0);
  for (let a = 0; a < size; a++) normal[a]![a]! += DAMPING * trace + Number.MIN_VALUE;
  const [turnMm, ...shiftsMm] = solvePositive(normal, right);
  return { turnRad: turnMm! / leverMm, shiftsMm };
}

const AXES = [
  { x: 1, y: 0 },
  { x: 0, y: 1 },
];

/** A laying moved one step nearer, free to turn and to shift, about the middle of what is laid; and the step. */
export function stepNearer(
  motion: RigidMotion,
  gaps: Gaps,
  weights: Float64Array,
): { readonly motion: RigidMotion; readonly step: SmallStep } {
  const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const centre = { x: mean(gaps.qx), y: mean(gaps.qy) };
  const step = solveStep(gaps, weights, centre, AXES);
  const [c, s] = [Math.cos(step.turnRad), Math.sin(step.turnRad)];
  const [dx, dy] = [motion.shift.x - centre.x, motion.shift.y - centre.y];
  const [shiftX, shiftY] = [step.shiftsMm[0]!, step.shiftsMm[1]!];
  return {
    motion: {
      mirrored: motion.mirrored,
      angleRad: motion.angleRad + step.turnRad,
      shift: { x: centre.x + c * dx - s * dy + shiftX, y: centre.y + s * dx + c * dy + shiftY },
    },
    step,
  };
}

/** Share of the matrix's trace added to its diagonal; the steps are repeated, so it costs no accuracy. */
const DAMPING = 1e-7;

function farthestMm({ qx, qy }: Gaps, centre: { readonly x: number; readonly y: number }): number {
  let farthest = 0;
  for (let i = 0; i < qx.length; i++)
    farthest = Math.max(farthest, Math.hypot(qx[i]! - centre.x, qy[i]! - centre.y));
  return farthest || 1;
}
