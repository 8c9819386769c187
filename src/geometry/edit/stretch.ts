import { indexPath } from '../flat-path.ts';
import type { Path } from '../path.ts';
import type { PlanePoint } from '../point.ts';
import { samplePath } from '../sample-path.ts';
import { cross, dot, minus } from '../vector.ts';
import { nodesOf, type PathNode, pathOfNodes } from './nodes.ts';

/** Part of a line from one joint to another in its own direction; on a closed line it may run on past the start. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** The joints of a stretch in order, both ends included; equal ends of a closed line are the whole way round. */
export function jointsOfStretch(count: number, closed: boolean, { from, to }: Stretch): number[] {
  if (!closed && from >= to) throw new RangeError('an open line has no stretch that ends before it begins');
  const joints = [from];
  for (let i = from; joints.length === 1 || i !== to; ) {
    i = (i + 1) % count;
    joints.push(i);
  }
  return joints;
}

/** The stretch as an open path. */
export function pathOfStretch(path: Path, stretch: Stretch): Path {
  const nodes = nodesOf(path);
  const part = jointsOfStretch(nodes.length, path.closed, stretch).map((joint) => nodes[joint]!);
  return pathOfNodes(part, false);
}

/** Directions closer than this still run on smoothly, rad. */
const SMOOTH_RAD = 0.01;

function isStillSmooth(
  { at, arriving, leaving }: PathNode,
  before: PathNode | undefined,
  after: PathNode | undefined,
): boolean {
  const [back, ahead] = [arriving ?? before?.at, leaving ?? after?.at];
  if (!back || !ahead) return false;
  const [come, go] = [minus(at, back), minus(ahead, at)];
  return Math.abs(Math.atan2(cross(come, go), dot(come, go))) <= SMOOTH_RAD;
}

/**
 * Puts an open path in the place of a stretch; it must begin and end where the stretch does. Nothing beyond the stretch
 * moves: where the new part leaves in another direction, the joint there becomes a corner.
 */
export function replaceStretch(path: Path, stretch: Stretch, part: Path): Path {
  const nodes = nodesOf(path);
  const fresh = nodesOf(part);
  const [first, last] = [nodes[stretch.from]!, nodes[stretch.to]!];
  const inner = fresh.slice(1, -1);
  const start: PathNode = { ...first, leaving: fresh[0]!.leaving };
  const end: PathNode = { ...last, arriving: fresh.at(-1)!.arriving };
  let result: PathNode[];
  let [startAt, endAt] = [stretch.from, stretch.from + inner.length + 1];
  if (stretch.from < stretch.to) {
    result = [...nodes.slice(0, stretch.from), start, ...inner, end, ...nodes.slice(stretch.to + 1)];
  } else if (stretch.from === stretch.to) {
    // The whole way round: the one joint both begins and ends it.
    result = [{ ...first, leaving: start.leaving, arriving: end.arriving }, ...inner];
    [startAt, endAt] = [0, 0];
  } else {
    // Past the start: the line begins anew at the stretch's end.
    result = [end, ...nodes.slice(stretch.to + 1, stretch.from), start, ...inner];
    [startAt, endAt] = [stretch.from - stretch.to, 0];
  }
  const count = result.length;
  const closed = path.closed;
  const neighbour = (index: number) => (closed ? result[(index + count) % count] : result[index]);
  for (const index of new Set([startAt, endAt])) {
    const node = result[index]!;
    if (node.joint === 'smooth' && !isStillSmooth(node, neighbour(index - 1), neighbour(index + 1))) {
      result[index] = { ...node, joint: 'corner' };
    }
  }
  return pathOfNodes(result, closed);
}

/** A stretch made into one straight segment. */
export function straightenStretch(path: Path, stretch: Stretch): Path {
  const nodes = nodesOf(path);
  const [from, to] = [nodes[stretch.from]!.at, nodes[stretch.to]!.at];
  if (stretch.from === stretch.to) throw new RangeError('the whole way round cannot be made straight');
  return replaceStretch(path, stretch, {
    closed: false,
    start: from,
    segments: [{ kind: 'line', to, joint: 'corner' }],
  });
}

/** How far a line has moved, mm: the largest distance of either from the other, and where. */
export interface Move {
  readonly maxMm: number;
  readonly at: PlanePoint;
}

const SAMPLE_MM = 0.5;

/** The place of one line that lies farthest from another, looked for every half millimetre and at every corner. */
export function farthestFrom(to: Path, from: Path): Move {
  let [maxMm, at] = [0, from.start];
  const index = indexPath(to);
  for (const { point } of samplePath(from, SAMPLE_MM)) {
    const { distanceMm } = index.nearest(point.x, point.y)!;
    if (distanceMm > maxMm) [maxMm, at] = [distanceMm, point];
  }
  return { maxMm, at };
}

/** The largest distance between two lines, from either to the other. */
export function moveBetween(before: Path, after: Path): Move {
  const [there, back] = [farthestFrom(after, before), farthestFrom(before, after)];
  return back.maxMm > there.maxMm ? back : there;
}
