import type { ImagePoint } from '../../geometry/point.ts';
import { leavingDirection, turnAcross } from './clean-graph.ts';
import { addEdge, dissolveThrough, lengthPx, pointsFrom, type StrokeGraph } from './stroke-graph.ts';

/** Length over which a line's end shows where it was going, mm. */
const END_MM = 4;
/** Both ends must point at each other to within this, rad; across a gap of less than a millimetre half as much again. */
const MOST_TURN_RAD = 0.6;
/** A gap that the maker wants open is known again within this, mm. */
const SAME_GAP_MM = 2;
/** Mask and thinning stop this much more than half a stroke's width short of its tip, mm (measured on pencil). */
const SHRUNK_MM = 0.25;
/** A line is closed on itself only when it is much longer than the gap. */
const RING_FACTOR = 6;

interface FreeEnd {
  readonly node: number;
  readonly edge: number;
  /** The stroke's tip. */
  readonly at: ImagePoint;
  /** The way the line was going, out over its end. */
  readonly onward: ImagePoint;
}

interface Bridge {
  readonly a: FreeEnd;
  readonly b: FreeEnd;
  readonly cost: number;
}

function freeEnds(graph: StrokeGraph, pxPerMm: number): FreeEnd[] {
  return graph.nodes.flatMap((node, id): FreeEnd[] => {
    if (!node || node.edges.length !== 1) return [];
    const edge = node.edges[0]!;
    const line = graph.edges[edge]!;
    const away = leavingDirection(pointsFrom(line, id), 0.7 * line.widthPx, END_MM * pxPerMm);
    const half = line.widthPx / 2 + SHRUNK_MM * pxPerMm;
    const at = { u: node.at.u - half * away.u, v: node.at.v - half * away.v };
    return [{ node: id, edge, at, onward: { u: -away.u, v: -away.v } }];
  });
}

/** The bridge between two ends, when their tangents agree with it. */
function bridgeBetween(
  graph: StrokeGraph,
  a: FreeEnd,
  b: FreeEnd,
  largestPx: number,
  pxPerMm: number,
): Bridge | undefined {
  const gap = Math.hypot(b.at.u - a.at.u, b.at.v - a.at.v);
  // Tips that touch or pass each other have no direction between them.
  if (gap > largestPx) return undefined;
  if (gap < 1) return { a, b, cost: 0 };
  if (a.edge === b.edge && lengthPx(graph.edges[a.edge]!.points) < RING_FACTOR * gap) return undefined;
  const chord = { u: (b.at.u - a.at.u) / gap, v: (b.at.v - a.at.v) / gap };
  const most = gap < pxPerMm ? 1.5 * MOST_TURN_RAD : MOST_TURN_RAD;
  const turnA = Math.acos(Math.min(1, Math.max(-1, a.onward.u * chord.u + a.onward.v * chord.v)));
  const turnB = Math.acos(Math.min(1, Math.max(-1, -b.onward.u * chord.u - b.onward.v * chord.v)));
  if (Math.max(turnA, turnB) <= most) {
    return { a, b, cost: (gap / largestPx) * (1 + turnA + turnB) };
  }
  return undefined;
}

/** Where two ends carried on meet in a corner, when both reach it within the gap allowed. */
function cornerBeyond(a: FreeEnd, b: FreeEnd, largestPx: number): ImagePoint | undefined {
  if (turnAcross(a.onward, b.onward) < 0.35) return undefined;
  const cross = a.onward.u * b.onward.v - a.onward.v * b.onward.u;
  if (Math.abs(cross) < 0.3) return undefined;
  const [du, dv] = [b.at.u - a.at.u, b.at.v - a.at.v];
  const alongA = (du * b.onward.v - dv * b.onward.u) / cross;
  const alongB = (du * a.onward.v - dv * a.onward.u) / cross;
  if (alongA < 0 || alongB < 0 || alongA > largestPx || alongB > largestPx) return undefined;
  return { u: a.at.u + alongA * a.onward.u, v: a.at.v + alongA * a.onward.v };
}

/**
 * Bridges gaps up to `largestGapMm` between free ends that point at each other, or that meet in a corner when carried
 * on; shortest first, each end once. Gaps whose middle the maker has refused stay open.
 */
export function bridgeGaps(
  graph: StrokeGraph,
  pxPerMm: number,
  largestGapMm: number,
  refused: readonly ImagePoint[],
): void {
  const ends = freeEnds(graph, pxPerMm);
  const likely: (Bridge & { readonly corner?: ImagePoint })[] = [];
  for (const [i, a] of ends.entries()) {
    for (const b of ends.slice(i + 1)) {
      const middle = { u: (a.at.u + b.at.u) / 2, v: (a.at.v + b.at.v) / 2 };
      if (refused.some(({ u, v }) => Math.hypot(u - middle.u, v - middle.v) < SAME_GAP_MM * pxPerMm))
        continue;
      const straight = bridgeBetween(graph, a, b, largestGapMm * pxPerMm, pxPerMm);
      if (straight) likely.push(straight);
      const gap = Math.hypot(b.at.u - a.at.u, b.at.v - a.at.v);
      if (
        straight ||
        gap > largestGapMm * pxPerMm ||
        (a.edge === b.edge && lengthPx(graph.edges[a.edge]!.points) < RING_FACTOR * gap)
      )
        continue;
      const corner = cornerBeyond(a, b, largestGapMm * pxPerMm);
      if (corner) likely.push({ a, b, cost: 1 + gap / pxPerMm, corner });
    }
  }
  const used = new Set<number>();
  for (const { a, b, corner } of likely.sort((x, y) => x.cost - y.cost)) {
    if (used.has(a.node) || used.has(b.node)) continue;
    used.add(a.node).add(b.node);
    const widthPx = (graph.edges[a.edge]!.widthPx + graph.edges[b.edge]!.widthPx) / 2;
    const between = corner ? [a.at, corner, b.at] : [a.at, b.at];
    const points = [graph.nodes[a.node]!.at, ...between, graph.nodes[b.node]!.at];
    addEdge(graph, { from: a.node, to: b.node, points, widthPx, bridges: [[a.at, b.at]] });
  }
  dissolveThrough(graph);
}
