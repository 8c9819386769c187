import type { Joint, Path, Segment } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { minus, plus, times, unit } from '../vector.ts';

/**
 * A path as its joints, the form in which a hand changes it: each with the handles of the curves that arrive and leave
 * (undefined beside a straight segment). Joint 0 is the path's start; a closed path does not repeat it, an open one's
 * last joint is its end. The conversion there and back is exact.
 */
export interface PathNode {
  readonly at: PlanePoint;
  readonly arriving: PlanePoint | undefined;
  readonly leaving: PlanePoint | undefined;
  readonly joint: Joint;
}

/** How many joints a path has; an open path's two ends count. */
export function jointCount(path: Path): number {
  return path.segments.length + (path.closed ? 0 : 1);
}

/** The segment that arrives at a joint, and the one that leaves it; undefined at an open path's ends. */
export function segmentsAt(
  path: Path,
  joint: number,
): { readonly before: number | undefined; readonly after: number | undefined } {
  const count = path.segments.length;
  return {
    before: joint > 0 ? joint - 1 : path.closed ? count - 1 : undefined,
    after: joint < count ? joint : undefined,
  };
}

/** Where a joint lies, mm; throws when the path has no such joint. */
export function jointPoint(path: Path, joint: number): PlanePoint {
  const point = joint === 0 ? path.start : path.segments[joint - 1]?.to;
  if (!point) throw new RangeError(`the path has ${jointCount(path)} joints, none numbered ${joint}`);
  return point;
}

/** An open path's ends count as corners. */
export function jointKind(path: Path, joint: number): Joint {
  const { before, after } = segmentsAt(path, joint);
  return before === undefined || after === undefined ? 'corner' : path.segments[before]!.joint;
}

/** The handles of the curves that arrive at a joint and leave it, mm; undefined beside straight segments. */
export function handlesAt(path: Path, joint: number): Pick<PathNode, 'arriving' | 'leaving'> {
  const { before, after } = segmentsAt(path, joint);
  const [arrives, leaves] = [path.segments[before ?? -1], path.segments[after ?? -1]];
  return {
    arriving: arrives?.kind === 'cubic' ? arrives.c2 : undefined,
    leaving: leaves?.kind === 'cubic' ? leaves.c1 : undefined,
  };
}

export function nodesOf(path: Path): PathNode[] {
  return Array.from({ length: jointCount(path) }, (_, joint) => {
    const { before } = segmentsAt(path, joint);
    return {
      at: jointPoint(path, joint),
      ...handlesAt(path, joint),
      joint: path.segments[before ?? -1]?.joint ?? 'corner',
    };
  });
}

/** A segment is a curve where the joints at both its ends have a handle for it. */
export function pathOfNodes(nodes: readonly PathNode[], closed: boolean): Path {
  const [first] = nodes;
  if (!first || nodes.length < (closed ? 1 : 2))
    throw new RangeError('an open path needs at least two joints');
  const count = closed ? nodes.length : nodes.length - 1;
  const segments = Array.from({ length: count }, (_, i): Segment => {
    const [from, to] = [nodes[i]!, nodes[(i + 1) % nodes.length]!];
    return from.leaving && to.arriving
      ? { kind: 'cubic', c1: from.leaving, c2: to.arriving, to: to.at, joint: to.joint }
      : { kind: 'line', to: to.at, joint: to.joint };
  });
  return { closed, start: first.at, segments };
}

/** The index before or after another, round a closed path; undefined past an open one's ends. */
export function neighbourIndex(
  count: number,
  closed: boolean,
  index: number,
  step: 1 | -1,
): number | undefined {
  const next = index + step;
  if (next >= 0 && next < count) return next;
  return closed ? (next + count) % count : undefined;
}

/** A handle turned into a direction about its joint, its length kept. */
function turned(at: PlanePoint, handle: PlanePoint, direction: PlanePoint): PlanePoint {
  return plus(at, times(direction, distanceMm(at, handle)));
}

/** Below this turn two straight segments run on in one line. */
const STRAIGHT_ON = 1e-6;

/**
 * Makes one joint true to its word: a smooth joint beside a straight segment has its curve's handle in line with
 * it, and one between two straight segments that turn is a corner. Joints between two curves are left alone.
 */
function settled(node: PathNode, before: PathNode | undefined, after: PathNode | undefined): PathNode {
  if (node.joint === 'corner' || !before || !after) return node;
  const { at, arriving, leaving } = node;
  if (arriving && leaving) return node;
  const come = unit(minus(at, before.at));
  const go = unit(minus(after.at, at));
  if (!arriving && leaving) return come ? { ...node, leaving: turned(at, leaving, come) } : node;
  if (arriving && !leaving) return go ? { ...node, arriving: turned(at, arriving, times(go, -1)) } : node;
  const runsOn = come && go && Math.hypot(come.x - go.x, come.y - go.y) <= STRAIGHT_ON;
  return runsOn ? node : { ...node, joint: 'corner' };
}

/** Settles the joints named and their neighbours, after something there has moved. */
export function settleNodes(
  nodes: readonly PathNode[],
  closed: boolean,
  touched: Iterable<number>,
): PathNode[] {
  const result = [...nodes];
  const count = nodes.length;
  const near = new Set<number>();
  for (const index of touched) {
    near.add(index);
    for (const step of [1, -1] as const) {
      const next = neighbourIndex(count, closed, index, step);
      if (next !== undefined) near.add(next);
    }
  }
  const at = (index: number | undefined) => (index === undefined ? undefined : nodes[index]);
  for (const index of near) {
    result[index] = settled(
      nodes[index]!,
      at(neighbourIndex(count, closed, index, -1)),
      at(neighbourIndex(count, closed, index, 1)),
    );
  }
  return result;
}
