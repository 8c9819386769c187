/** Stretches of outline that a photo saw well, and where photos saw the same edge. */
import { type EdgeIndex, indexEdges } from '../geometry/edge-index.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { distanceMm } from '../geometry/point.ts';

/** An edge traced in one photo, in the frame that all photos share. */
export interface PartialOutline {
  readonly points: readonly PlanePoint[];
  readonly seenPx: readonly ImagePoint[];
  readonly photo: number;
  readonly widthPx: number;
  readonly heightPx: number;
  /** How far aslant the photo sees it: 0 from straight above. */
  readonly aslant: number;
}

/** A stretch in its order along the edge; closed when the photo saw all of it. */
export interface Run {
  readonly points: readonly PlanePoint[];
  readonly seenPx: readonly ImagePoint[];
  readonly photo: number;
  readonly aslant: number;
  readonly closed: boolean;
  /** Length along the run up to each point, mm. */
  readonly alongMm: Float64Array;
  readonly lengthMm: number;
  readonly index: EdgeIndex;
}

/** Nearer to the photo's border than this, px, an edge may be the border's own: the tracer reaches this far. */
const BORDER_PX = 16;
/** So much of the edge beside such a stretch is not trusted either, mm: the corner at the border rounds it. */
const BESIDE_BORDER_MM = 5;
/** Shorter runs say nothing, mm. */
const SHORTEST_RUN_MM = 8;
/** Photos see the same edge when they put it within this, mm, and running the same way to within 60 degrees. */
const SAME_EDGE_MM = 10;
const SAME_WAY_COS = 0.5;
/** A run counts fully from this far from its ends, mm. */
const FULL_WEIGHT_MM = 20;

function runOf(outline: PartialOutline, indices: readonly number[], closed: boolean): Run {
  const points = indices.map((i) => outline.points[i]!);
  const alongMm = new Float64Array(points.length);
  for (let i = 1; i < points.length; i++) {
    alongMm[i] = alongMm[i - 1]! + distanceMm(points[i - 1]!, points[i]!);
  }
  return {
    points,
    seenPx: indices.map((i) => outline.seenPx[i]!),
    photo: outline.photo,
    aslant: outline.aslant,
    closed,
    alongMm,
    lengthMm: alongMm.at(-1)! + (closed ? distanceMm(points.at(-1)!, points[0]!) : 0),
    index: indexEdges([{ points, closed }]),
  };
}

/** Marks points that lie within `BESIDE_BORDER_MM` along the edge of one that is marked, one way round. */
function spread(outline: PartialOutline, marked: readonly boolean[], way: 1 | -1): boolean[] {
  const n = marked.length;
  const result = [...marked];
  let left = 0;
  for (let k = 0; k < 2 * n; k++) {
    const i = way > 0 ? k % n : n - 1 - (k % n);
    const next = (i + way + n) % n;
    if (marked[i]) left = BESIDE_BORDER_MM;
    left -= distanceMm(outline.points[i]!, outline.points[next]!);
    if (left > 0) result[next] = true;
  }
  return result;
}

/** The stretches of an outline that the photo saw whole: all of it, or what is left away from the photo's border. */
export function trustedRuns(outline: PartialOutline): readonly Run[] {
  const { seenPx, widthPx, heightPx } = outline;
  const atBorder = seenPx.map(({ u, v }) => Math.min(u, v, widthPx - 1 - u, heightPx - 1 - v) < BORDER_PX);
  const n = seenPx.length;
  if (!atBorder.includes(true))
    return [
      runOf(
        outline,
        Array.from({ length: n }, (_, i) => i),
        true,
      ),
    ];
  const ahead = spread(outline, atBorder, 1);
  const bad = spread(outline, atBorder, -1).map((value, i) => value || ahead[i]!);
  const first = bad.indexOf(true);
  const runs: number[][] = [[]];
  for (let k = 1; k <= n; k++) {
    const i = (first + k) % n;
    if (bad[i]) runs.push([]);
    else runs.at(-1)!.push(i);
  }
  return runs
    .filter((indices) => indices.length > 2)
    .map((indices) => runOf(outline, indices, false))
    .filter(({ lengthMm }) => lengthMm >= SHORTEST_RUN_MM);
}

function directionAt({ points, closed }: Run, i: number): PlanePoint {
  const n = points.length;
  const a = points[closed ? (i - 2 + n) % n : Math.max(0, i - 2)]!;
  const b = points[closed ? (i + 2) % n : Math.min(n - 1, i + 2)]!;
  const length = distanceMm(a, b) || 1;
  return { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
}

/** Where a run passes a place. */
export interface Pass {
  readonly point: PlanePoint;
  /** The run's point before it. */
  readonly edge: number;
  readonly gapMm: number;
  readonly alongMm: number;
}

/** Where run `other` passes point `i` of a run on the same edge, away from the other's ends; undefined when it does not. */
export function passOf(run: Run, i: number, other: Run): Pass | undefined {
  const { x, y } = run.points[i]!;
  const found = other.index.nearest(x, y, SAME_EDGE_MM);
  if (!found) return undefined;
  const { edge, u } = found;
  const last = other.points.length - 2;
  if (!other.closed && ((edge === 0 && u === 0) || (edge >= last && u === 1))) return undefined;
  const [p, q] = [directionAt(run, i), directionAt(other, edge)];
  if (p.x * q.x + p.y * q.y < SAME_WAY_COS) return undefined;
  const next = other.alongMm[edge + 1] ?? other.lengthMm;
  return {
    point: { x: found.x, y: found.y },
    edge,
    gapMm: found.distanceMm,
    alongMm: other.alongMm[edge]! + u * (next - other.alongMm[edge]!),
  };
}

/** How much a run counts at a place along it: not at all at its ends, fully well inside; smooth in between. */
export function weightAt({ closed, lengthMm }: Run, alongMm: number): number {
  if (closed) return 1;
  const t = Math.min(1, Math.max(0, Math.min(alongMm, lengthMm - alongMm) / FULL_WEIGHT_MM));
  return t * t * (3 - 2 * t);
}
