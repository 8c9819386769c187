import { type Camera, imageToPlane } from '../capture/camera.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { wrap } from './contour.ts';
import type { RefinedEdge } from './refine-edge.ts';
import type { SeenEdges } from './seen-edge.ts';
import type { SeenEdge } from './types.ts';
import type { WallView } from './wall-view.ts';

/** A traced edge carried to the plane, each point with the place in the photo where it was seen. */
export interface MappedEdge {
  readonly points: readonly PlanePoint[];
  readonly seenPx: readonly ImagePoint[];
  readonly footShare: number;
  /** How clear the top edge is beside walls that show, step over noise; 0 without any. */
  readonly topClearness: number;
}

/** Within this of edge-on, the wall is too narrow to call; about seven degrees. */
const EDGE_ON = 0.12;
/** An edge-on stretch longer than this many leans is a side of the piece. */
const LONG_SIDE = 2;
/** Samples left out on either side of a switch between foot and top edge: blur mixes them there. */
const SWITCH_MARGIN = 1;
/** Samples beyond an edge-on stretch in which its ends are looked for. */
const LOOK_BEYOND = 4;
/** Cost, px, of a sample that is counted to the wrong side of a switch by its own facing. */
const MISPLACED_PX = 0.05;

/** The samples first..last (counted on beyond the end of the sequence) that are edge-on between two clear ones. */
interface EdgeOnStretch {
  readonly first: number;
  readonly last: number;
  readonly before: SeenEdge;
  readonly after: SeenEdge;
}

/** Fewer clear samples than this between edge-on ones are noise. */
const LEAST_CLEAR = 4;

/** Indices of samples that clearly face the camera's foot point or turn away from it, noise left out. */
function clearSamples(seen: readonly SeenEdge[], facing: Float64Array): number[] {
  const count = seen.length;
  const clear = Array.from(facing, (value) => Math.abs(value) > EDGE_ON);
  const alike = (i: number, k: number): boolean => clear[k]! && seen[k] === seen[i];
  return Array.from({ length: count }, (_, i) => i).filter((i) => {
    if (!clear[i]) return false;
    let run = 1;
    for (let k = 1; k < LEAST_CLEAR && alike(i, wrap(i + k, count)); k++) run++;
    for (let k = 1; k < LEAST_CLEAR && alike(i, wrap(i - k, count)); k++) run++;
    return run >= LEAST_CLEAR;
  });
}

/** The edge-on stretches (possibly empty ones) where clear samples change, or are interrupted. */
function edgeOnStretches(seen: readonly SeenEdge[], facing: Float64Array): EdgeOnStretch[] {
  const count = seen.length;
  const clear = clearSamples(seen, facing);
  return clear.flatMap((i, k) => {
    const next = k + 1 < clear.length ? clear[k + 1]! : clear[0]! + count;
    const [before, after] = [seen[i]!, seen[next % count]!];
    return next === i + 1 && before === after ? [] : [{ first: i + 1, last: next - 1, before, after }];
  });
}

/**
 * Where in an edge-on stretch the foot line ends and the top line begins. Between the two runs the image of one
 * upright edge of the wall: its top end lies one lean away from its foot end, which fixes both. Returns the last
 * sample of the first line and the first of the second.
 */
function switchAt(stretch: EdgeOnStretch, edge: RefinedEdge, view: WallView): readonly [number, number] {
  const count = edge.u.length;
  const rising = stretch.before === 'foot';
  const first = stretch.first - LOOK_BEYOND;
  const last = stretch.last + LOOK_BEYOND;
  let best: readonly [number, number] = [stretch.first, stretch.last];
  let least = Infinity;
  for (let foot = first; foot <= last; foot++) {
    const i = wrap(foot, count);
    const [topU, topV] = [edge.u[i]! + view.leanU[i]!, edge.v[i]! + view.leanV[i]!];
    const [from, to] = rising ? [foot, last] : [first, foot];
    for (let top = from; top <= to; top++) {
      const j = wrap(top, count);
      let cost = Math.hypot(edge.u[j]! - topU, edge.v[j]! - topV);
      if (cost >= least) continue;
      for (let k = stretch.first; k <= stretch.last; k++) {
        const toFoot = rising ? k <= foot : k >= foot;
        const toTop = rising ? k >= top : k <= top;
        const facing = view.facing[wrap(k, count)]!;
        if ((toFoot && facing < 0) || (toTop && facing > 0)) cost += MISPLACED_PX;
      }
      if (cost < least) {
        least = cost;
        best = rising ? [foot, top] : [top, foot];
      }
    }
  }
  return best;
}

/**
 * Leaves out the samples of a long side that lie on the upright edge at either end of it: where the foot was seen up to
 * there and the top edge is seen next, one lean of them.
 */
function leaveUprights(
  { first, last, before }: EdgeOnStretch,
  seen: readonly SeenEdge[],
  edge: RefinedEdge,
  view: WallView,
  settled: (SeenEdge | undefined)[],
): void {
  const count = seen.length;
  for (const [end, step] of [
    [first, 1],
    [last, -1],
  ] as const) {
    if (seen[wrap(end, count)] === before) continue;
    const a = wrap(end, count);
    for (let k = end; k >= first && k <= last; k += step) {
      const i = wrap(k, count);
      if (Math.hypot(edge.u[i]! - edge.u[a]!, edge.v[i]! - edge.v[a]!) > view.leanPx[a]!) break;
      settled[i] = undefined;
    }
  }
}

/** What each sample is after the switches are found: undefined where it lies on an upright edge or too near one. */
function settle(seen: readonly SeenEdge[], edge: RefinedEdge, view: WallView): (SeenEdge | undefined)[] {
  const count = seen.length;
  const settled: (SeenEdge | undefined)[] = [...seen];
  for (const stretch of edgeOnStretches(seen, view.facing)) {
    const { first, last, before, after } = stretch;
    const assign = (from: number, to: number, value: SeenEdge | undefined) => {
      for (let k = from; k <= to; k++) settled[wrap(k, count)] = value;
    };
    const [a, b] = [wrap(first, count), wrap(last, count)];
    const lengthPx = last < first ? 0 : Math.hypot(edge.u[b]! - edge.u[a]!, edge.v[b]! - edge.v[a]!);
    if (before === after) {
      // A side of the piece that runs along the lean is longer than an upright edge, and was read like any other.
      if (lengthPx < LONG_SIDE * view.leanPx[a]!) assign(first, last, before);
      else leaveUprights(stretch, seen, edge, view, settled);
      continue;
    }
    // A real upright edge in view is one lean long; a shorter one means that the lines cross or the choice changed.
    const upright = lengthPx > 0.5 * view.leanPx[a]!;
    const [end, begin] = upright ? switchAt(stretch, edge, view) : [first - 1, last + 1];
    assign(Math.min(first, end), end, before);
    assign(begin, Math.max(last, begin), after);
    const margin = upright ? SWITCH_MARGIN : SWITCH_MARGIN + 1;
    assign(end + 1 - margin, begin - 1 + margin, undefined);
  }
  return settled;
}

/** Carries the edge of a thin piece to the plane of its face, mm above the table. */
export function mapThinEdge(camera: Camera, edge: RefinedEdge, thicknessMm: number): MappedEdge {
  const seenPx = Array.from(edge.u, (u, i) => ({ u, v: edge.v[i]! }));
  return {
    points: seenPx.map((point) => imageToPlane(camera, point, thicknessMm)),
    seenPx,
    footShare: 0,
    topClearness: 0,
  };
}

/** Carries the edge of a thick piece to the plane, each stretch at the height of the edge that was seen there. */
export function mapThickEdge(
  camera: Camera,
  edge: RefinedEdge,
  { traced, u, v, height, doubtful, topClearness }: SeenEdges,
  view: WallView,
  thicknessMm: number,
): MappedEdge {
  const settled = settle(traced, edge, view);
  const points: PlanePoint[] = [];
  const seenPx: ImagePoint[] = [];
  let feet = 0;
  for (const [i, state] of settled.entries()) {
    if (!state || doubtful[i]) continue;
    // Where a switch was moved past a sample, its traced place counts as what it was settled to.
    const own = state === traced[i];
    const place = own ? { u: u[i]!, v: v[i]! } : { u: edge.u[i]!, v: edge.v[i]! };
    const lies = own ? height[i]! : state;
    points.push(imageToPlane(camera, place, lies === 'top' ? thicknessMm : 0));
    seenPx.push(place);
    if (lies === 'foot') feet++;
  }
  return { points, seenPx, footShare: points.length > 0 ? feet / points.length : 0, topClearness };
}
