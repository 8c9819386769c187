import type { ImagePoint } from '../../geometry/point.ts';
import { leavingDirection, turnAcross } from './clean-graph.ts';
import { pointsFrom, type StrokeGraph } from './stroke-graph.ts';

/** An edge run from its `from` node (or from its `to` node, backwards). */
export interface DirectedEdge {
  readonly edge: number;
  readonly backwards: boolean;
}

/** Edges in order, end to end. */
export interface Walk {
  readonly closed: boolean;
  readonly steps: readonly DirectedEdge[];
}

/** Length over which edges part at a node, in stroke widths, where their order round it is told. */
const PARTING_WIDTHS = 2.5;
/** Inner lines run on through a node where they turn by less than this, rad. */
const RUN_ON_RAD = 0.7;

const startOf = (graph: StrokeGraph, { edge, backwards }: DirectedEdge): number =>
  backwards ? graph.edges[edge]!.to : graph.edges[edge]!.from;
const endOf = (graph: StrokeGraph, { edge, backwards }: DirectedEdge): number =>
  backwards ? graph.edges[edge]!.from : graph.edges[edge]!.to;
const turned = ({ edge, backwards }: DirectedEdge): DirectedEdge => ({ edge, backwards: !backwards });

export function pointsOf(graph: StrokeGraph, { edge, backwards }: DirectedEdge): ImagePoint[] {
  const { points } = graph.edges[edge]!;
  return backwards ? points.toReversed() : points;
}

/** Directed edges that leave each node, by their angle on the screen. */
function leavingByAngle(graph: StrokeGraph, kept: ReadonlySet<number>): Map<number, DirectedEdge[]> {
  const leaving = new Map<number, { angle: number; step: DirectedEdge }[]>();
  for (const id of kept) {
    for (const backwards of [false, true]) {
      const step = { edge: id, backwards };
      const { widthPx } = graph.edges[id]!;
      const { u, v } = leavingDirection(pointsOf(graph, step), 0, PARTING_WIDTHS * widthPx);
      const node = startOf(graph, step);
      leaving.set(node, [...(leaving.get(node) ?? []), { angle: Math.atan2(v, u), step }]);
    }
  }
  return new Map(
    [...leaving].map(([node, steps]) => [
      node,
      steps.sort((a, b) => a.angle - b.angle).map(({ step }) => step),
    ]),
  );
}

/** The edges that lie on some closed way: free ends are taken off until none is left. */
function edgesInRings(graph: StrokeGraph, edges: readonly number[]): Set<number> {
  const kept = new Set(edges);
  const degree = new Map<number, number>();
  const count = (node: number, by: number) => degree.set(node, (degree.get(node) ?? 0) + by);
  for (const id of kept) {
    count(graph.edges[id]!.from, 1);
    count(graph.edges[id]!.to, 1);
  }
  for (let changed = true; changed; ) {
    changed = false;
    for (const id of kept) {
      const { from, to } = graph.edges[id]!;
      if (degree.get(from)! > 1 && degree.get(to)! > 1) continue;
      kept.delete(id);
      count(from, -1);
      count(to, -1);
      changed = true;
    }
  }
  return kept;
}

/** Splits a closed walk where it comes to a node twice; steps walked both ways are no outline and drop out. */
function simpleRings(graph: StrokeGraph, walk: readonly DirectedEdge[]): DirectedEdge[][] {
  const both = new Set(
    walk
      .filter(({ edge, backwards }) =>
        walk.some((other) => other.edge === edge && other.backwards !== backwards),
      )
      .map(({ edge }) => edge),
  );
  const rings: DirectedEdge[][] = [];
  const stack: DirectedEdge[] = [];
  for (const step of walk) {
    if (both.has(step.edge)) continue;
    stack.push(step);
    const end = endOf(graph, step);
    const back = stack.findIndex((earlier) => startOf(graph, earlier) === end);
    if (back >= 0) rings.push(stack.splice(back));
  }
  return rings;
}

/** The way round the outside of one connected part of the drawing: faces are walked, the outer one is the widest. */
function outerRings(graph: StrokeGraph, edges: readonly number[]): DirectedEdge[][] {
  const kept = edgesInRings(graph, edges);
  const leaving = leavingByAngle(graph, kept);
  const key = ({ edge, backwards }: DirectedEdge) => 2 * edge + (backwards ? 1 : 0);
  const walked = new Set<number>();
  let best: { readonly area: number; readonly walk: DirectedEdge[] } | undefined;
  for (const id of kept) {
    for (const backwards of [false, true]) {
      let step: DirectedEdge = { edge: id, backwards };
      const walk: DirectedEdge[] = [];
      while (!walked.has(key(step))) {
        walked.add(key(step));
        walk.push(step);
        const around = leaving.get(endOf(graph, step))!;
        const back = turned(step);
        const at = around.findIndex((other) => key(other) === key(back));
        step = around[(at + 1) % around.length]!;
      }
      const area = areaPx2(walk.flatMap((each) => pointsOf(graph, each)));
      if (walk.length > 0 && (!best || area > best.area)) best = { area, walk };
    }
  }
  return best ? simpleRings(graph, best.walk) : [];
}

/** Area in px2 of the way round: of all the faces of a part, the outer one has the most. */
function areaPx2(points: readonly ImagePoint[]): number {
  let twice = 0;
  points.forEach((a, i) => {
    const b = points[(i + 1) % points.length]!;
    twice += a.u * b.v - b.u * a.v;
  });
  return Math.abs(twice) / 2;
}

/** Edges by connected part. */
function parts(graph: StrokeGraph): number[][] {
  const seen = new Set<number>();
  const found: number[][] = [];
  graph.edges.forEach((edge, id) => {
    if (!edge || seen.has(id)) return;
    const part = [id];
    seen.add(id);
    for (let k = 0; k < part.length; k++) {
      const { from, to } = graph.edges[part[k]!]!;
      for (const next of [...graph.nodes[from]!.edges, ...graph.nodes[to]!.edges]) {
        if (seen.has(next)) continue;
        seen.add(next);
        part.push(next);
      }
    }
    found.push(part);
  });
  return found;
}

/** Joins what is left into long lines: through a node where two edges run straight on from each other. */
function longLines(graph: StrokeGraph, edges: ReadonlySet<number>): Walk[] {
  const next = new Map<number, { readonly edge: number; readonly turn: number }>();
  const side = (edge: number, node: number) => 2 * edge + (graph.edges[edge]!.from === node ? 0 : 1);
  graph.nodes.forEach((node, id) => {
    const here = [...new Set(node?.edges ?? [])].filter(
      (edge) => edges.has(edge) && graph.edges[edge]!.from !== graph.edges[edge]!.to,
    );
    const pairs = here
      .flatMap((a, i) =>
        here.slice(i + 1).map((b) => ({ a, b, turn: turnAcross(away(graph, a, id), away(graph, b, id)) })),
      )
      .filter(({ turn }) => turn < RUN_ON_RAD || node!.edges.length === 2)
      .sort((p, q) => p.turn - q.turn);
    for (const { a, b, turn } of pairs) {
      if (next.has(side(a, id)) || next.has(side(b, id))) continue;
      next.set(side(a, id), { edge: b, turn });
      next.set(side(b, id), { edge: a, turn });
    }
  });
  const used = new Set<number>();
  const run = (first: DirectedEdge): { readonly steps: DirectedEdge[]; readonly closed: boolean } => {
    const steps = [first];
    for (;;) {
      const last = steps[steps.length - 1]!;
      const node = endOf(graph, last);
      const to = next.get(side(last.edge, node));
      if (!to) return { steps, closed: false };
      if (to.edge === first.edge) return { steps, closed: true };
      steps.push({ edge: to.edge, backwards: graph.edges[to.edge]!.from !== node });
    }
  };
  const walks: Walk[] = [];
  for (const id of edges) {
    if (used.has(id)) continue;
    if (graph.edges[id]!.from === graph.edges[id]!.to) {
      walks.push({ closed: true, steps: [{ edge: id, backwards: false }] });
      continue;
    }
    const ahead = run({ edge: id, backwards: false });
    const walk = ahead.closed ? ahead : run(turned(ahead.steps[ahead.steps.length - 1]!));
    for (const { edge } of walk.steps) used.add(edge);
    walks.push(walk);
  }
  return walks;
}

function away(graph: StrokeGraph, edge: number, node: number): ImagePoint {
  const { widthPx } = graph.edges[edge]!;
  return leavingDirection(pointsFrom(graph.edges[edge]!, node), 0.7 * widthPx, 4 * widthPx);
}

/** The outer way round each part of the drawing, and everything else as long lines. */
export function outlinesAndLines(graph: StrokeGraph): { readonly outlines: Walk[]; readonly lines: Walk[] } {
  const outlines: Walk[] = [];
  const rest = new Set<number>();
  for (const part of parts(graph)) {
    const rings = outerRings(graph, part);
    const taken = new Set(rings.flat().map(({ edge }) => edge));
    for (const steps of rings) outlines.push({ closed: true, steps });
    for (const id of part) if (!taken.has(id)) rest.add(id);
  }
  return { outlines, lines: longLines(graph, rest) };
}
