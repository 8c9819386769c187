import { type Path, reversePath } from '../path.ts';
import { distanceMm, midpoint } from '../point.ts';
import { nodesOf, type PathNode, pathOfNodes } from './nodes.ts';

/** Ends closer than this are one point drawn twice, mm; farther apart they are joined by a straight segment. */
const SAME_POINT_MM = 0.05;

const asEnd = (node: PathNode): PathNode => ({ ...node, joint: 'corner' });

/** Cuts a path at a joint: a closed one opens there, an open one falls into two. At an open path's end nothing changes. */
export function splitAtJoint(path: Path, joint: number): readonly Path[] {
  const nodes = nodesOf(path);
  const node = nodes[joint];
  if (!node) throw new RangeError(`the path has no joint numbered ${joint}`);
  if (path.closed) {
    const turned = [...nodes.slice(joint), ...nodes.slice(0, joint)];
    const first = asEnd({ ...node, arriving: undefined });
    const last = asEnd({ ...node, leaving: undefined });
    return [pathOfNodes([first, ...turned.slice(1), last], false)];
  }
  if (joint === 0 || joint === nodes.length - 1) return [path];
  const head = [...nodes.slice(0, joint), asEnd({ ...node, leaving: undefined })];
  const tail = [asEnd({ ...node, arriving: undefined }), ...nodes.slice(joint + 1)];
  return [pathOfNodes(head, false), pathOfNodes(tail, false)];
}

/** Closes an open path: ends that lie on each other become one joint, others are joined by a straight segment. */
export function closePath(path: Path): Path {
  if (path.closed) return path;
  const nodes = nodesOf(path);
  const [first, last] = [nodes[0]!, nodes.at(-1)!];
  const meet = distanceMm(first.at, last.at) <= SAME_POINT_MM && nodes.length > 2;
  if (meet)
    return pathOfNodes([{ ...first, arriving: last.arriving, joint: 'corner' }, ...nodes.slice(1, -1)], true);
  return pathOfNodes([asEnd(first), ...nodes.slice(1, -1), asEnd(last)], true);
}

export type PathEnd = 'start' | 'end';

/**
 * Joins two open paths into one, from the first's end given to the second's; the result runs the way the first does.
 * Ends that lie on each other become one corner, others are joined by a straight segment.
 */
export function joinAtEnds(first: Path, firstEnd: PathEnd, second: Path, secondEnd: PathEnd): Path {
  if (first.closed || second.closed) throw new RangeError('only open paths have ends to join');
  if (firstEnd === 'start') {
    return reversePath(joinAtEnds(reversePath(first), 'end', second, secondEnd));
  }
  const head = nodesOf(first);
  const tail = nodesOf(secondEnd === 'start' ? second : reversePath(second));
  const [last, next] = [head.at(-1)!, tail[0]!];
  if (distanceMm(last.at, next.at) > SAME_POINT_MM) {
    return pathOfNodes([...head.slice(0, -1), asEnd(last), asEnd(next), ...tail.slice(1)], false);
  }
  const meeting: PathNode = {
    at: midpoint(last.at, next.at),
    arriving: last.arriving,
    leaving: next.leaving,
    joint: 'corner',
  };
  return pathOfNodes([...head.slice(0, -1), meeting, ...tail.slice(1)], false);
}
