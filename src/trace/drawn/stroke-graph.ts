import { ringOffsets } from '../../vision/thin-mask.ts';
import { type ImagePoint, meanPlacePx } from '../../geometry/point.ts';

/**
 * Drawn lines as a graph: nodes where lines end, meet or cross, edges between them. Places are pixels of the photo.
 * Cleaning works on it in place; removed nodes and edges leave an empty slot, so that numbers stay good.
 */
export interface StrokeGraph {
  readonly nodes: (StrokeNode | undefined)[];
  readonly edges: (StrokeEdgeLine | undefined)[];
}

export interface StrokeNode {
  readonly at: ImagePoint;
  /** Width of the stroke there, px. */
  readonly widthPx: number;
  /** Numbers of the edges that end here; a ring that begins and ends here is listed twice. */
  readonly edges: number[];
}

export interface StrokeEdgeLine {
  from: number;
  to: number;
  /** From node to node, both included. */
  points: ImagePoint[];
  widthPx: number;
  /** Stretches of bridged gap within `points`, as pairs of places, px. */
  bridges: readonly (readonly [ImagePoint, ImagePoint])[];
}

export function lengthPx(points: readonly ImagePoint[]): number {
  let sum = 0;
  for (let i = 1; i < points.length; i++) {
    sum += Math.hypot(points[i]!.u - points[i - 1]!.u, points[i]!.v - points[i - 1]!.v);
  }
  return sum;
}

function addNode(graph: StrokeGraph, at: ImagePoint, widthPx: number): number {
  return graph.nodes.push({ at, widthPx, edges: [] }) - 1;
}

export function addEdge(graph: StrokeGraph, edge: StrokeEdgeLine): number {
  const id = graph.edges.push(edge) - 1;
  graph.nodes[edge.from]!.edges.push(id);
  graph.nodes[edge.to]!.edges.push(id);
  return id;
}

function unlink(graph: StrokeGraph, node: number, edge: number): void {
  const { edges } = graph.nodes[node]!;
  edges.splice(edges.indexOf(edge), 1);
}

export function removeEdge(graph: StrokeGraph, id: number): void {
  const { from, to } = graph.edges[id]!;
  graph.edges[id] = undefined;
  for (const node of [from, to]) unlink(graph, node, id);
  for (const node of [from, to]) if (graph.nodes[node]?.edges.length === 0) graph.nodes[node] = undefined;
}

/** The edge's points as they run away from `node`; a ring runs as it is stored. */
export function pointsFrom(edge: StrokeEdgeLine, node: number): ImagePoint[] {
  return edge.from === node ? edge.points : edge.points.toReversed();
}

/** Joins the two edges of every node where just two different ones meet; what was a node becomes a point. */
export function dissolveThrough(graph: StrokeGraph): void {
  for (let id = 0; id < graph.nodes.length; id++) {
    const node = graph.nodes[id];
    if (!node || node.edges.length !== 2) continue;
    const [first, second] = node.edges as [number, number];
    if (first === second) continue;
    const a = graph.edges[first]!;
    const b = graph.edges[second]!;
    const head = pointsFrom(a, id).toReversed();
    const tail = pointsFrom(b, id);
    const [from, to] = [a.from === id ? a.to : a.from, b.from === id ? b.to : b.from];
    const [la, lb] = [lengthPx(a.points), lengthPx(b.points)];
    const joined: StrokeEdgeLine = {
      from,
      to,
      points: [...head, ...tail.slice(1)],
      widthPx: (a.widthPx * la + b.widthPx * lb) / (la + lb || 1),
      bridges: [...a.bridges, ...b.bridges],
    };
    const added = graph.edges.push(joined) - 1;
    for (const [end, old] of [
      [from, first],
      [to, second],
    ] as const) {
      const { edges } = graph.nodes[end]!;
      edges[edges.indexOf(old)] = added;
    }
    graph.edges[first] = undefined;
    graph.edges[second] = undefined;
    graph.nodes[id] = undefined;
  }
}

/** Reads a skeleton one pixel wide: `toPhoto` takes its pixels to the photo, `widthAt` is the stroke's width, px. */
export function graphOfSkeleton(
  skeleton: Uint8Array,
  width: number,
  toPhoto: (at: number) => ImagePoint,
  widthAt: (at: number) => number,
): StrokeGraph {
  const graph: StrokeGraph = { nodes: [], edges: [] };
  const offsets = ringOffsets(width);
  const neighbours = (at: number): number[] =>
    offsets.map((offset) => at + offset).filter((to) => skeleton[to]);
  const pixels: number[] = [];
  for (let at = 0; at < skeleton.length; at++) if (skeleton[at]) pixels.push(at);
  const nodeOf = new Map<number, number>();
  const isJunction = (at: number) => neighbours(at).length > 2;
  for (const at of pixels) {
    if (nodeOf.has(at)) continue;
    const count = neighbours(at).length;
    if (count === 2 || count === 0) continue;
    // Junction pixels that touch are one junction.
    const cluster = [at];
    if (count > 2) {
      for (let k = 0; k < cluster.length; k++) {
        for (const to of neighbours(cluster[k]!))
          if (isJunction(to) && !cluster.includes(to)) cluster.push(to);
      }
    }
    const middle = meanPlacePx(cluster.map(toPhoto));
    const id = addNode(graph, middle, Math.max(...cluster.map(widthAt)));
    for (const pixel of cluster) nodeOf.set(pixel, id);
  }
  const passed = new Set<number>();
  const follow = (start: number, first: number): void => {
    const chain = [first];
    let [before, here] = [start, first];
    while (!nodeOf.has(here)) {
      passed.add(here);
      const ahead = neighbours(here).filter(
        (to) =>
          to !== before && !(nodeOf.get(to) === nodeOf.get(start) && chain.length === 1 && nodeOf.has(to)),
      );
      const next = ahead.find((to) => nodeOf.has(to)) ?? ahead.find((to) => !passed.has(to));
      if (next === undefined) break;
      [before, here] = [here, next];
      chain.push(here);
    }
    const [from, to] = [nodeOf.get(start)!, nodeOf.get(here)];
    if (to === undefined) return;
    const inner = chain.slice(0, -1);
    addEdge(graph, {
      from,
      to,
      points: [graph.nodes[from]!.at, ...inner.map(toPhoto), graph.nodes[to]!.at],
      widthPx: meanWidth(inner.length > 0 ? inner : [start], widthAt),
      bridges: [],
    });
  };
  for (const [at, id] of nodeOf) {
    for (const to of neighbours(at)) {
      if (passed.has(to) || nodeOf.get(to) === id) continue;
      // Two nodes side by side: one edge, told from the lower.
      if (nodeOf.has(to) && nodeOf.get(to)! < id) continue;
      follow(at, to);
    }
  }
  for (const at of pixels) {
    if (nodeOf.has(at) || passed.has(at)) continue;
    followRing(graph, at, neighbours, passed, toPhoto, widthAt);
  }
  return graph;
}

function meanWidth(pixels: readonly number[], widthAt: (at: number) => number): number {
  return pixels.reduce((sum, at) => sum + widthAt(at), 0) / pixels.length;
}

/** A closed line without a node: it gets one anywhere. */
function followRing(
  graph: StrokeGraph,
  start: number,
  neighbours: (at: number) => number[],
  passed: Set<number>,
  toPhoto: (at: number) => ImagePoint,
  widthAt: (at: number) => number,
): void {
  const chain = [start];
  passed.add(start);
  for (;;) {
    const next = neighbours(chain[chain.length - 1]!).find((to) => !passed.has(to));
    if (next === undefined) break;
    passed.add(next);
    chain.push(next);
  }
  if (chain.length < 8) return;
  const node = addNode(graph, toPhoto(start), widthAt(start));
  const points = [...chain, start].map(toPhoto);
  addEdge(graph, { from: node, to: node, points, widthPx: meanWidth(chain, widthAt), bridges: [] });
}
