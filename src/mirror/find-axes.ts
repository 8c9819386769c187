import { deviationFigures, deviationFrom } from '../geometry/deviation.ts';
import { type EdgeIndex, indexEdges, type Polyline } from '../geometry/edge-index.ts';
import { extentMm, measuringToleranceMm } from '../geometry/flat-path.ts';
import { flattenPath, pathLengthMm, polygonAreaMm2 } from '../geometry/measure.ts';
import {
  alongLineMm,
  footOnLine,
  offsetFromLineMm,
  reflectionAcross,
  type StraightLine,
} from '../geometry/motion.ts';
import { type Path, polylinePath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import {
  type Cloud,
  cloudOf,
  narrowingSpreadMm,
  trimmedWeights,
  tukeyWeights,
} from '../geometry/robust-fit.ts';
import { samplePathEvenly } from '../geometry/sample-path.ts';
import { type FoldLine, foldLine } from './axis.ts';
import { axisMisfit, refineAxis } from './refine-axis.ts';
import { smoothLine } from './smooth-line.ts';

/** A fold axis that the lines themselves suggest. */
export interface AxisCandidate {
  readonly axis: FoldLine;
  /** Distances of the outline's reflection from the outline, mm. */
  readonly rmsMm: number;
  readonly p95Mm: number;
  /** 0 all lines coincide with their reflection .. 1 none does; above about 0.5 the piece has no such axis to speak of. */
  readonly misfit: number;
  /** True when this axis fits as well as the first one: the maker should choose (circles, ovals, rectangles). */
  readonly equalToBest: boolean;
}

/** Starting angles of the sweep: every 3 degrees. */
const START_ANGLES = 60;

/** How finely lines are prepared: samples and edges round the outline, and smoothing as a share of its extent. */
interface Grain {
  readonly samples: number;
  readonly edges: number;
  readonly smoothing: number;
}

const COARSE: Grain = { samples: 160, edges: 320, smoothing: 0.005 };
const FINE: Grain = { samples: 700, edges: 1500, smoothing: 0.005 };
/** Half of the damage shows twice (itself, and where it should be), so coarse steps trust this share. */
const TRUSTED_SHARE = 0.7;
/** A gap of this share of the outline's extent counts as half a miss. */
const MISFIT_SCALE = 0.01;
/** Axes less misfitting than the best plus this are offered; within `EQUAL_MISFIT` they count as equal. */
const OFFERED_MISFIT = 0.25;
const EQUAL_MISFIT = 0.02;
/** A worse axis than this is offered only when there is no better. */
const PLAUSIBLE_MISFIT = 0.6;
const MOST_CANDIDATES = 6;
const MOST_HOPEFUL = 16;
/** Misfits on few and on many samples differ by no more than this. */
const COARSE_DOUBT = 0.05;
/** Axes closer than this in angle (about 10 degrees) and in place are one and the same choice. */
const SAME_ANGLE_RAD = 0.17;
const SAME_PLACE = 0.03;

interface Found {
  readonly line: StraightLine;
  readonly misfit: number;
}

/** The lines prepared for many reflections; group 0 is the outline, group 1 all other lines together. */
interface Prepared {
  readonly cloud: Cloud;
  readonly indexes: readonly EdgeIndex[];
}

/**
 * Fold axes of a closed outline, best first; `others` (holes, inner lines, marks) help to tell them apart. Starts through the
 * middle in every direction are refined by reflecting and registering, with weights that let one damaged side
 * count for nothing. Near-circular outlines give several choices; of equal ones the axis that runs across the
 * piece's greatest length comes first, since a visor or band folds at its middle. Always gives at least one.
 */
export function findAxes(outline: Path, others: readonly Path[] = []): AxisCandidate[] {
  const extent = extentMm(outline);
  const middle = middleOf(outline);
  const coarse = prepare(outline, others, COARSE);
  const scaleMm = MISFIT_SCALE * extent;
  const swept = Array.from({ length: START_ANGLES }, (_, k) => {
    const start = { point: middle, angleRad: (Math.PI * k) / START_ANGLES };
    const line = refineAxis(coarse.cloud, coarse.indexes, start, extent, {
      steps: 6,
      leastSteps: 0,
      weigh: (cloud, gaps) => trimmedWeights(cloud, gaps, TRUSTED_SHARE),
      stopMm: 1e-4 * extent,
      mayTurn: true,
    });
    return { line, misfit: axisMisfit(coarse.cloud, coarse.indexes, line, scaleMm) };
  });
  // Every choice is refined on few samples; only those that then fit are refined on many.
  const hopeful = distinct(
    distinct(swept, middle, extent)
      .slice(0, MOST_HOPEFUL)
      .map(({ line }) => refineFully(coarse, line, extent, scaleMm)),
    middle,
    extent,
  );
  const fine = prepare(outline, others, FINE);
  const refined = hopeful
    .filter(({ misfit }, i) => i === 0 || misfit <= limitMisfit(hopeful[0]!.misfit) + COARSE_DOUBT)
    .map(({ line }) => refineFully(fine, line, extent, scaleMm));
  return rank(outline, distinct(refined, middle, extent), middle);
}

/** Axes up to this misfit are worth offering beside the best. */
function limitMisfit(best: number): number {
  return Math.min(best + OFFERED_MISFIT, PLAUSIBLE_MISFIT);
}

/**
 * The best axis near a given one: refined freely, or only shifted sideways when its angle is fixed (rule 'vertical').
 * For handles that the maker lets snap.
 */
export function settleAxis(outline: Path, others: readonly Path[], start: FoldLine): FoldLine {
  const extent = extentMm(outline);
  const fine = prepare(outline, others, FINE);
  const { line } = refineFully(fine, start, extent, MISFIT_SCALE * extent, start.rule !== 'vertical');
  return foldLine(line, start.rule, middleOf(outline));
}

function prepare(outline: Path, others: readonly Path[], { samples, edges, smoothing }: Grain): Prepared {
  const lengthMm = pathLengthMm(outline);
  const spread = smoothing * extentMm(outline);
  const smooth = (path: Path) => smoothLine(path, lengthMm / edges, spread);
  const edge = smooth(outline);
  const inner = others.map(smooth);
  const sampled = (line: Polyline) =>
    samplePathEvenly(polylinePath(line.points, line.closed), lengthMm / samples);
  const indexes = [indexEdges([edge])];
  if (inner.length > 0) indexes.push(indexEdges(inner));
  return { cloud: cloudOf([sampled(edge), inner.flatMap(sampled)]), indexes };
}

function refineFully(
  { cloud, indexes }: Prepared,
  start: StraightLine,
  extent: number,
  scaleMm: number,
  mayTurn = true,
): Found {
  const line = refineAxis(cloud, indexes, start, extent, {
    steps: 80,
    leastSteps: 20,
    weigh: (cloud, gaps, step) => tukeyWeights(cloud, gaps, narrowingSpreadMm(step, extent, 2e-5 * extent)),
    stopMm: 1e-9 * extent,
    mayTurn,
  });
  return { line, misfit: axisMisfit(cloud, indexes, line, scaleMm) };
}

/** Centroid of the outline's area, mm. */
function middleOf(outline: Path): PlanePoint {
  const points = flattenPath(outline, measuringToleranceMm(outline));
  const [origin] = points;
  let [x, y] = [0, 0];
  for (let i = 0; i < points.length; i++) {
    const a = { x: points[i]!.x - origin!.x, y: points[i]!.y - origin!.y };
    const next = points[(i + 1) % points.length]!;
    const b = { x: next.x - origin!.x, y: next.y - origin!.y };
    const twice = a.x * b.y - b.x * a.y;
    x += (a.x + b.x) * twice;
    y += (a.y + b.y) * twice;
  }
  const six = 6 * polygonAreaMm2(points) || 1;
  return { x: origin!.x + x / six, y: origin!.y + y / six };
}

/** Smallest angle between two lines without direction. */
function angleBetween(a: StraightLine, b: StraightLine): number {
  const turn = Math.abs(a.angleRad - b.angleRad) % Math.PI;
  return Math.min(turn, Math.PI - turn);
}

/** Best first, each one unlike all before it. */
function distinct(found: readonly Found[], middle: PlanePoint, extent: number): Found[] {
  const kept: Found[] = [];
  for (const candidate of [...found].sort((a, b) => a.misfit - b.misfit)) {
    const foot = footOnLine(candidate.line, middle);
    const known = kept.some(
      ({ line }) =>
        angleBetween(line, candidate.line) < SAME_ANGLE_RAD &&
        Math.abs(offsetFromLineMm(line, foot)) < SAME_PLACE * extent,
    );
    if (!known) kept.push(candidate);
  }
  return kept;
}

/** How long the outline is along a line, mm. */
function lengthAlong(outline: Path, line: StraightLine): number {
  const along = samplePathEvenly(outline, pathLengthMm(outline) / COARSE.samples).map(({ point }) =>
    alongLineMm(line, point),
  );
  return Math.max(...along) - Math.min(...along);
}

function rank(outline: Path, found: readonly Found[], middle: PlanePoint): AxisCandidate[] {
  const best = found[0]!.misfit;
  const equal = found.filter(({ misfit }) => misfit <= best + EQUAL_MISFIT);
  const rest = found.filter(({ misfit }) => misfit > best + EQUAL_MISFIT && misfit <= limitMisfit(best));
  // Lengths within a twentieth are no reason; then the better fit decides.
  const shortest = Math.min(...equal.map(({ line }) => lengthAlong(outline, line)));
  const across = ({ line }: Found) => (lengthAlong(outline, line) <= 1.05 * shortest ? 0 : 1);
  equal.sort((a, b) => across(a) - across(b) || a.misfit - b.misfit);
  const index = indexEdges([{ points: flattenPath(outline, measuringToleranceMm(outline)), closed: true }]);
  const samples = samplePathEvenly(outline, pathLengthMm(outline) / FINE.samples);
  return [...equal, ...rest].slice(0, MOST_CANDIDATES).map(({ line, misfit }, i) => {
    const { rmsMm, p95Mm } = deviationFigures(deviationFrom(samples, reflectionAcross(line), index));
    return { axis: foldLine(line, 'free', middle), rmsMm, p95Mm, misfit, equalToBest: i < equal.length };
  });
}
