import type { ImagePoint } from '../../geometry/point.ts';
import { dissolveThrough, lengthPx, removeEdge, type StrokeGraph } from './stroke-graph.ts';

/** What runs past a crossing by no more than this is an overshoot, mm. */
const OVERSHOOT_MM = 5;
/** Lines count as one straight line through a node when they turn by less than this there, rad. */
const STRAIGHT_ON_RAD = 0.6;
/** A side branch up to this many stroke widths long comes from the thinning, not from the pencil. */
const SPUR_WIDTHS = 1.2;
/** A crossing of two lines is thinned to two junctions at most this many stroke widths apart. */
const SPLIT_WIDTHS = 1.6;

/** Direction in which a line leaves its first point, measured between two lengths along it, px; unit vector. */
export function leavingDirection(points: readonly ImagePoint[], fromPx: number, toPx: number): ImagePoint {
  const whole = lengthPx(points);
  const near = placeAlong(points, Math.min(fromPx, whole / 3));
  const far = placeAlong(points, Math.min(toPx, whole));
  const length = Math.hypot(far.u - near.u, far.v - near.v) || 1;
  return { u: (far.u - near.u) / length, v: (far.v - near.v) / length };
}

/** The point a length along a line. */
function placeAlong(points: readonly ImagePoint[], along: number): ImagePoint {
  let left = along;
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const step = Math.hypot(b.u - a.u, b.v - a.v);
    if (step >= left && step > 0) {
      return { u: a.u + ((b.u - a.u) * left) / step, v: a.v + ((b.v - a.v) * left) / step };
    }
    left -= step;
  }
  return points[points.length - 1]!;
}

/** Turn between coming in against `a` and leaving along `b`, both leaving the node, rad: 0 is straight on. */
export function turnAcross(a: ImagePoint, b: ImagePoint): number {
  return Math.PI - Math.acos(Math.min(1, Math.max(-1, a.u * b.u + a.v * b.v)));
}

const isDangling = (graph: StrokeGraph, id: number): boolean => {
  const edge = graph.edges[id]!;
  return (
    edge.from !== edge.to &&
    (graph.nodes[edge.from]!.edges.length === 1 || graph.nodes[edge.to]!.edges.length === 1)
  );
};

/** Takes off the short side branches that thinning leaves. */
function pruneSpurs(graph: StrokeGraph): void {
  for (let id = 0; id < graph.edges.length; id++) {
    const edge = graph.edges[id];
    if (!edge || !isDangling(graph, id)) continue;
    const inner = graph.nodes[edge.from]!.edges.length === 1 ? edge.to : edge.from;
    const { edges, widthPx } = graph.nodes[inner]!;
    if (edges.length >= 3 && lengthPx(edge.points) < SPUR_WIDTHS * Math.max(widthPx, edge.widthPx)) {
      removeEdge(graph, id);
    }
  }
  dissolveThrough(graph);
}

/** Makes one junction of two that are nearer than a stroke is wide. */
function mergeSplitCrossings(graph: StrokeGraph): void {
  for (let id = 0; id < graph.edges.length; id++) {
    const edge = graph.edges[id];
    if (!edge || edge.from === edge.to) continue;
    const [a, b] = [graph.nodes[edge.from]!, graph.nodes[edge.to]!];
    if (a.edges.length < 3 || b.edges.length < 3) continue;
    if (lengthPx(edge.points) > SPLIT_WIDTHS * Math.max(a.widthPx, b.widthPx)) continue;
    mergeNodes(graph, edge.from, edge.to, id);
  }
}

function mergeNodes(graph: StrokeGraph, keptId: number, goneId: number, between: number): void {
  const [kept, gone] = [graph.nodes[keptId]!, graph.nodes[goneId]!];
  const at = { u: (kept.at.u + gone.at.u) / 2, v: (kept.at.v + gone.at.v) / 2 };
  removeEdge(graph, between);
  const edges = [...kept.edges, ...gone.edges];
  for (const id of new Set(edges)) {
    const edge = graph.edges[id]!;
    const points = edge.points.slice();
    if (edge.from === keptId || edge.from === goneId) {
      edge.from = keptId;
      points[0] = at;
    }
    if (edge.to === keptId || edge.to === goneId) {
      edge.to = keptId;
      points[points.length - 1] = at;
    }
    edge.points = points;
  }
  graph.nodes[keptId] = { at, widthPx: Math.max(kept.widthPx, gone.widthPx), edges };
  graph.nodes[goneId] = undefined;
}

/**
 * Takes off what was drawn past a corner: a short free end that carries straight on from another line at a node where
 * the lines that stay do not carry straight on from each other. A tick on a smooth line stays.
 */
function pruneOvershoots(graph: StrokeGraph, pxPerMm: number): void {
  const direction = (edge: number, node: number): ImagePoint => {
    const { points, widthPx } = graph.edges[edge]!;
    const ordered = graph.edges[edge]!.from === node ? points : points.toReversed();
    return leavingDirection(ordered, 0.7 * widthPx, 0.7 * widthPx + 3 * pxPerMm);
  };
  for (let nodeId = 0; nodeId < graph.nodes.length; nodeId++) {
    const node = graph.nodes[nodeId];
    if (!node || node.edges.length < 3) continue;
    const free = node.edges.filter(
      (id) => isDangling(graph, id) && lengthPx(graph.edges[id]!.points) < OVERSHOOT_MM * pxPerMm,
    );
    const staying = node.edges.filter((id) => !free.includes(id));
    if (staying.length !== 2 || free.length === 0) continue;
    const [a, b] = staying.map((id) => direction(id, nodeId)) as [ImagePoint, ImagePoint];
    if (staying[0] === staying[1] || turnAcross(a, b) < STRAIGHT_ON_RAD) continue;
    for (const id of free) {
      const d = direction(id, nodeId);
      if (Math.min(turnAcross(d, a), turnAcross(d, b)) < STRAIGHT_ON_RAD) removeEdge(graph, id);
    }
  }
  dissolveThrough(graph);
}

/** The corner where a line's two ends cross and run on: a ring at a node, with one or two short free ends. */
function pruneRingOvershoots(graph: StrokeGraph, pxPerMm: number): void {
  for (const node of graph.nodes) {
    if (!node || node.edges.length < 3) continue;
    const rings = node.edges.filter((id) => graph.edges[id]!.from === graph.edges[id]!.to);
    if (rings.length !== 2 || rings[0] !== rings[1]) continue;
    for (const id of node.edges.filter((edge) => edge !== rings[0])) {
      if (isDangling(graph, id) && lengthPx(graph.edges[id]!.points) < OVERSHOOT_MM * pxPerMm) {
        removeEdge(graph, id);
      }
    }
  }
  dissolveThrough(graph);
}

/** Cleans what thinning and a hurried pencil leave: spurs, crossings that fell apart, ends drawn past a corner. */
export function cleanGraph(graph: StrokeGraph, pxPerMm: number): void {
  dissolveThrough(graph);
  pruneSpurs(graph);
  mergeSplitCrossings(graph);
  pruneSpurs(graph);
  pruneOvershoots(graph, pxPerMm);
  pruneRingOvershoots(graph, pxPerMm);
}
