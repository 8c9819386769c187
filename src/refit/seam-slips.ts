import { indexPath } from '../geometry/flat-path.ts';
import type { EdgeIndex } from '../geometry/edge-index.ts';
import { isInside } from '../geometry/measure.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { RigidMotion } from '../geometry/motion.ts';
import type { PageSeam, PrintedTile } from '../geometry/printed-tiles.ts';
import { midpoint, type PlanePoint } from '../geometry/point.ts';
import { type Cloud, cloudOf, emptyGaps, measureGaps, tukeyWeights } from '../geometry/robust-fit.ts';
import { type PathSample, samplePathEvenly } from '../geometry/sample-path.ts';
import { solvePositive } from '../geometry/solve-positive.ts';
import { directionOf, dot, minus, plus, quarterLeft, times, unit } from '../geometry/vector.ts';
import { laidLines, type RevisionComparison } from './compare-revisions.ts';

/** How far the second page of a seam lies from where it belongs beside the first. */
export interface SeamSlip {
  readonly seam: PageSeam;
  readonly at: PlanePoint;
  /** Along the seam (towards `to`), and apart (negative: the pages overlap too far), mm. Undefined where the lines do not tell. */
  readonly alongMm: number | undefined;
  readonly apartMm: number | undefined;
  /** Turn of the second page against the first, counter-clockwise; undefined where the lines do not tell. */
  readonly turnRad: number | undefined;
}

const SPACING_MM = 1;
/** Lines this near to a page's edge may lie on either page, mm. */
const EDGE_MM = 1.5;
/** A page with less of the line than this tells nothing, mm. */
const LEAST_LINE_MM = 25;
const STEPS = 60;
/** Pages are taped to within about this: what the lines do not tell is taken to be so, mm and rad. */
const USUAL_SHIFT_MM = 3;
const USUAL_TURN_RAD = 0.02;
/** Doubt of one sample, mm: an edge's readings hang together over some millimetres, so each counts for less. */
const SAMPLE_DOUBT_MM = 0.3;
/** More doubt than this (one sigma) and a figure is not told. */
const MOST_DOUBT_MM = 0.5;
const MOST_DOUBT_RAD = 0.006;

/** A page's small motion about `centre`, with its covariance (turn, shift x, shift y). */
interface TileMotion {
  readonly centre: PlanePoint;
  readonly values: readonly [turnRad: number, x: number, y: number];
  readonly covariance: readonly (readonly number[])[];
}

/**
 * Which seams of a taped print slipped, and by how much: the outline and openings on each page are laid on the template on
 * their own, and at every seam the motions of both pages are compared. `comparison` is that of the print with the template.
 */
export function seamSlips(
  oldLines: readonly PieceLine[],
  newLines: readonly PieceLine[],
  comparison: RevisionComparison,
  tiles: readonly PrintedTile[],
  seams: readonly PageSeam[],
): SeamSlip[] {
  const pairs = comparison.lines.map(({ lineId, newLineId }) => ({ lineId, newLineId }));
  const laid = laidLines(newLines, comparison.motion);
  const indexes = pairs.map(({ lineId }) => indexPath(oldLines.find(({ id }) => id === lineId)!.path));
  const samples = pairs.map(({ newLineId }) =>
    samplePathEvenly(laid.find(({ id }) => id === newLineId)!.path, SPACING_MM),
  );
  const motions = new Map(
    tiles.map(({ name, corners }) => [name, tileMotion(samples, indexes, corners)] as const),
  );
  return seams.map((seam) => slipAt(seam, motions.get(seam.tiles[0]), motions.get(seam.tiles[1])));
}

/** Where the page's lines lie from where they belong: the motion that undoes it, turned round. */
function tileMotion(
  lines: readonly (readonly PathSample[])[],
  indexes: readonly EdgeIndex[],
  corners: readonly PlanePoint[],
): TileMotion | undefined {
  const inner = shrunk(corners, EDGE_MM);
  const groups = lines.map((samples) => samples.filter(({ point }) => isInside(point, inner)));
  const count = groups.reduce((sum, { length }) => sum + length, 0);
  if (count * SPACING_MM < LEAST_LINE_MM) return undefined;
  const cloud = cloudOf(groups);
  const centre = middleOf(cloud);
  let back = { turnRad: 0, x: 0, y: 0 };
  let covariance: readonly (readonly number[])[] = [];
  for (let step = 0; step < STEPS; step++) {
    const found = solveTile(cloud, indexes, centre, back, Math.max(0.15, 3 * 0.85 ** step));
    const stillMm = Math.abs(found.turnRad - back.turnRad) * 100;
    const isStill = stillMm + Math.hypot(found.x - back.x, found.y - back.y) < 1e-5;
    back = found;
    covariance = found.covariance;
    if (isStill && step > 30) break;
  }
  return { centre, values: [-back.turnRad, -back.x, -back.y], covariance };
}

/** One step of laying a page's lines: all of the motion is solved for anew, held by what is usual. */
function solveTile(
  cloud: Cloud,
  indexes: readonly EdgeIndex[],
  centre: PlanePoint,
  before: { readonly turnRad: number; readonly x: number; readonly y: number },
  spreadMm: number,
) {
  const gaps = emptyGaps(cloud.count);
  measureGaps(cloud, aboutCentre(centre, before), indexes, gaps);
  const weights = tukeyWeights(cloud, gaps, spreadMm);
  const prior = [USUAL_TURN_RAD, USUAL_SHIFT_MM, USUAL_SHIFT_MM].map((usual) => 1 / (usual * usual));
  const matrix = [0, 1, 2].map((a) => Float64Array.from([0, 1, 2], (b) => (a === b ? prior[a]! : 0)));
  const right = new Float64Array(3);
  const was = [before.turnRad, before.x, before.y];
  const scale = SPACING_MM / (SAMPLE_DOUBT_MM * SAMPLE_DOUBT_MM) / 5;
  for (let i = 0; i < cloud.count; i++) {
    const w = (weights[i]! / Math.max(cloud.weights[i]!, 1e-9)) * scale;
    if (!(w > 0)) continue;
    const [nx, ny] = [gaps.nx[i]!, gaps.ny[i]!];
    const lever = ny * (gaps.qx[i]! - centre.x) - nx * (gaps.qy[i]! - centre.y);
    const row = [lever, nx, ny];
    const wanted = row.reduce((sum, r, k) => sum + r * was[k]!, 0) - gaps.gapMm[i]!;
    for (let a = 0; a < 3; a++) {
      right[a]! += w * row[a]! * wanted;
      for (let b = 0; b < 3; b++) matrix[a]![b]! += w * row[a]! * row[b]!;
    }
  }
  const copy = () => matrix.map((line) => Float64Array.from(line));
  const [turnRad, x, y] = solvePositive(copy(), right) as [number, number, number];
  const covariance = [0, 1, 2].map((a) =>
    solvePositive(
      copy(),
      Float64Array.from([0, 1, 2], (b) => (a === b ? 1 : 0)),
    ),
  );
  return { turnRad, x, y, covariance };
}

function aboutCentre(
  { x: cx, y: cy }: PlanePoint,
  { turnRad, x, y }: { readonly turnRad: number; readonly x: number; readonly y: number },
): RigidMotion {
  const { x: c, y: s } = directionOf(turnRad);
  return {
    mirrored: false,
    angleRad: turnRad,
    shift: { x: cx + x - (c * cx - s * cy), y: cy + y - (s * cx + c * cy) },
  };
}

function middleOf({ xs, ys }: Cloud): PlanePoint {
  const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
  return { x: mean(xs), y: mean(ys) };
}

/** A convex counter-clockwise or clockwise polygon drawn in towards its middle. */
function shrunk(corners: readonly PlanePoint[], byMm: number): PlanePoint[] {
  const middle = times(
    corners.reduce((sum, corner) => plus(sum, corner), { x: 0, y: 0 }),
    1 / corners.length,
  );
  return corners.map((corner) => {
    const inwards = unit(minus(middle, corner)) ?? { x: 0, y: 0 };
    return plus(corner, times(inwards, byMm * Math.SQRT2));
  });
}

/** The figure, or undefined where its doubt is too large. */
function told(value: number, variance: number, mostDoubt: number): number | undefined {
  return Math.sqrt(variance) <= mostDoubt ? value : undefined;
}

function slipAt(seam: PageSeam, first: TileMotion | undefined, second: TileMotion | undefined): SeamSlip {
  const at = midpoint(seam.from, seam.to);
  const untold = { seam, at, alongMm: undefined, apartMm: undefined, turnRad: undefined };
  const along = unit(minus(seam.to, seam.from));
  if (!first || !second || !along) return untold;
  const sideways = quarterLeft(along);
  // Apart is positive when the second page lies farther from the first.
  const away = dot(sideways, minus(second.centre, at)) >= 0 ? sideways : times(sideways, -1);
  const read = (direction: PlanePoint) => {
    const [a, b] = [first, second].map((motion) => movedAlong(motion, at, direction)) as [Moved, Moved];
    return told(b.valueMm - a.valueMm, a.variance + b.variance, MOST_DOUBT_MM);
  };
  const turnVariance = first.covariance[0]![0]! + second.covariance[0]![0]!;
  return {
    seam,
    at,
    alongMm: read(along),
    apartMm: read(away),
    turnRad: told(second.values[0] - first.values[0], turnVariance, MOST_DOUBT_RAD),
  };
}

interface Moved {
  readonly valueMm: number;
  readonly variance: number;
}

/** How far a page carries a place in a direction, mm, and how sure that is. */
function movedAlong(
  { centre, values, covariance }: TileMotion,
  at: PlanePoint,
  direction: PlanePoint,
): Moved {
  const arm = minus(at, centre);
  const row = [direction.y * arm.x - direction.x * arm.y, direction.x, direction.y];
  const valueMm = row.reduce((sum, r, k) => sum + r * values[k]!, 0);
  const variance = row.reduce(
    (sum, r, a) => sum + row.reduce((part, q, b) => part + r * q * covariance[a]![b]!, 0),
    0,
  );
  return { valueMm, variance };
}
