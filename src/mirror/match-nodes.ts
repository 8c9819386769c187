import type { Joint, Path } from '../geometry/path.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { splitPath } from '../geometry/split-path.ts';

/** A joint that two runs have in common; `a` and `b` are the numbers of the segments that end there. */
export interface MatchedNode {
  readonly a: number;
  readonly b: number;
  readonly joint: Joint;
}

/** Joints of two runs farther apart than this are not the same joint, mm. */
const SAME_JOINT_MM = 8;

/** What kind of joint it is: a corner, or a smooth joint where a straight edge begins or ends. */
type NodeSort = 'corner' | 'edge-ends' | 'edge-begins';

interface Node {
  readonly segment: number;
  readonly at: PlanePoint;
  readonly sort: NodeSort;
}

/** Inner joints worth keeping; smooth joints between curves carry no design and are fitted anew. */
function nodesOf(path: Path): Node[] {
  return path.segments.slice(0, -1).flatMap((before, segment): Node[] => {
    const after = path.segments[segment + 1]!;
    if (before.joint === 'corner') return [{ segment, at: before.to, sort: 'corner' }];
    if (before.kind === after.kind) return [];
    return [{ segment, at: before.to, sort: before.kind === 'line' ? 'edge-ends' : 'edge-begins' }];
  });
}

/** Pairs the joints of two runs, nearest first, without crossing over; in the order they lie along the runs. */
export function matchNodes(a: Path, b: Path): MatchedNode[] {
  const others = nodesOf(b);
  const candidates = nodesOf(a)
    .flatMap((p) =>
      others
        .filter(({ sort, at }) => sort === p.sort && isNear(at, p.at))
        .map((q) => ({ p, q, apartMm: distanceMm(p.at, q.at) })),
    )
    .sort((x, y) => x.apartMm - y.apartMm);
  // Kept in order along `a`; a new pair must then also lie between its neighbours along `b`.
  const matched: MatchedNode[] = [];
  for (const { p, q } of candidates) {
    const place = firstFrom(matched, p.segment);
    const [before, after] = [matched[place - 1], matched[place]];
    if (after?.a === p.segment || (after && after.b <= q.segment) || (before && before.b >= q.segment))
      continue;
    matched.splice(place, 0, {
      a: p.segment,
      b: q.segment,
      joint: p.sort === 'corner' ? 'corner' : 'smooth',
    });
  }
  return matched;
}

const isNear = (p: PlanePoint, q: PlanePoint) =>
  Math.abs(p.x - q.x) <= SAME_JOINT_MM && distanceMm(p, q) <= SAME_JOINT_MM;

/** Number of the first pair at or after a segment of `a`. */
function firstFrom(matched: readonly MatchedNode[], segment: number): number {
  let [low, high] = [0, matched.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (matched[middle]!.a < segment) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The corresponding parts of both runs between matched joints, in order. */
export function sectionsBetween(a: Path, b: Path, nodes: readonly MatchedNode[]): (readonly [Path, Path])[] {
  const as = splitPath(
    a,
    nodes.map((node) => ({ segment: node.a, t: 1 })),
  );
  const bs = splitPath(
    b,
    nodes.map((node) => ({ segment: node.b, t: 1 })),
  );
  return as.map((part, i) => [part, bs[i]!] as const);
}
