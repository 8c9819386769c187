import { segmentLengthMm } from '../arc-length.ts';
import type { Path } from '../path.ts';
import { segmentOf, segmentStart } from '../place.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { dot, minus, plus, times, unit } from '../vector.ts';
import { jointPoint, neighbourIndex, nodesOf, type PathNode, pathOfNodes, settleNodes } from './nodes.ts';

/** Moves joints with their handles by a step in mm; what lies between them moves along, the neighbours stretch. */
export function moveJoints(path: Path, joints: Iterable<number>, by: PlanePoint): Path {
  const nodes = nodesOf(path);
  const moved = new Set(joints);
  for (const joint of moved) {
    const node = nodes[joint];
    if (!node) throw new RangeError(`the path has no joint numbered ${joint}`);
    nodes[joint] = shifted(node, by);
  }
  return pathOfNodes(settleNodes(nodes, path.closed, moved), path.closed);
}

function shifted(node: PathNode, by: PlanePoint): PathNode {
  return {
    ...node,
    at: plus(node.at, by),
    arriving: node.arriving && plus(node.arriving, by),
    leaving: node.leaving && plus(node.leaving, by),
  };
}

/** Puts one joint exactly at a point, mm. */
export function placeJoint(path: Path, joint: number, at: PlanePoint): Path {
  const by = minus(at, jointPoint(path, joint));
  const moved = moveJoints(path, [joint], by);
  // The sum of the old place and the step is off by rounding: the maker typed exact figures.
  const nodes = nodesOf(moved);
  nodes[joint] = { ...nodes[joint]!, at };
  return pathOfNodes(nodes, path.closed);
}

export type HandleSide = 'arriving' | 'leaving';

const OTHER = { arriving: 'leaving', leaving: 'arriving' } as const;

/**
 * Moves one handle of a joint to a point, mm. At a smooth joint the other handle turns with it and keeps its length;
 * beside a straight segment the handle slides along that segment's line. Without such a handle nothing changes.
 */
export function moveHandle(path: Path, joint: number, side: HandleSide, to: PlanePoint): Path {
  const nodes = nodesOf(path);
  const node = nodes[joint];
  if (!node) throw new RangeError(`the path has no joint numbered ${joint}`);
  if (!node[side]) return path;
  nodes[joint] =
    node.joint === 'smooth' ? turnedPair(nodes, path.closed, joint, side, to) : { ...node, [side]: to };
  return pathOfNodes(nodes, path.closed);
}

function turnedPair(
  nodes: readonly PathNode[],
  closed: boolean,
  joint: number,
  side: HandleSide,
  to: PlanePoint,
): PathNode {
  const node = nodes[joint]!;
  const other = node[OTHER[side]];
  if (other) {
    const direction = unit(minus(node.at, to));
    if (!direction) return { ...node, [side]: to };
    const turned = plus(node.at, times(direction, distanceMm(node.at, other)));
    return { ...node, [side]: to, [OTHER[side]]: turned };
  }
  const far = neighbourIndex(nodes.length, closed, joint, side === 'leaving' ? -1 : 1);
  const direction = far === undefined ? undefined : unit(minus(node.at, nodes[far]!.at));
  if (!direction) return { ...node, [side]: to };
  const reach = Math.max(1e-3, dot(minus(to, node.at), direction));
  return { ...node, [side]: plus(node.at, times(direction, reach)) };
}

/**
 * Gives a segment an exact length, mm, by scaling it about the end that stays: a straight one keeps its direction, a
 * curve its shape. The neighbour at the other end stretches. Lengths must be above zero.
 */
export function setSegmentLength(
  path: Path,
  index: number,
  lengthMm: number,
  stays: 'start' | 'end' = 'start',
): Path {
  if (!(lengthMm > 0) || !Number.isFinite(lengthMm))
    throw new RangeError(`a length cannot be ${lengthMm} mm`);
  const [from, segment] = [segmentStart(path, index), segmentOf(path, index)];
  const now = segmentLengthMm(from, segment);
  if (now === 0) return path;
  const nodes = nodesOf(path);
  const [first, second] = [index, (index + 1) % nodes.length];
  const [fixed, moving] = stays === 'start' ? [first, second] : [second, first];
  const about = nodes[fixed]!.at;
  const scaled = (point: PlanePoint) => plus(about, times(minus(point, about), lengthMm / now));
  const far = nodes[moving]!;
  const by = minus(scaled(far.at), far.at);
  const [fixedSide, movingSide] =
    stays === 'start' ? (['leaving', 'arriving'] as const) : (['arriving', 'leaving'] as const);
  const near = nodes[fixed]![fixedSide];
  const own = far[movingSide];
  nodes[moving] = { ...shifted(far, by), ...(own && { [movingSide]: scaled(own) }) };
  if (near) nodes[fixed] = { ...nodes[fixed]!, [fixedSide]: scaled(near) };
  return pathOfNodes(settleNodes(nodes, path.closed, [moving]), path.closed);
}
