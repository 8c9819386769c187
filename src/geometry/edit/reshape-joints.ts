import { fitOneCubic } from '../fit-smooth-run.ts';
import type { Joint, Path } from '../path.ts';
import { type Place, segmentOf, segmentStart } from '../place.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { segmentDirection, segmentPoint, splitSegment } from '../segment.ts';
import { minus, mix, plus, times, unit } from '../vector.ts';
import { jointCount, neighbourIndex, nodesOf, type PathNode, pathOfNodes, settleNodes } from './nodes.ts';
import { moveBetween, pathOfStretch } from './stretch.ts';

/** A joint more at a place of the path, which keeps its shape; gives the joint's number. At a joint it is that joint. */
export function addJoint(
  path: Path,
  { segment: index, t }: Place,
): { readonly path: Path; readonly joint: number } {
  const segment = segmentOf(path, index);
  if (t <= 0) return { path, joint: index };
  if (t >= 1) return { path, joint: (index + 1) % jointCount(path) };
  // On a straight segment it is there to be pulled into a corner.
  const parts = splitSegment(
    segmentStart(path, index),
    segment,
    t,
    segment.kind === 'line' ? 'corner' : 'smooth',
  );
  const segments = [...path.segments.slice(0, index), ...parts, ...path.segments.slice(index + 1)];
  return { path: { ...path, segments }, joint: index + 1 };
}

/**
 * Takes joints out. What lay between the joints that stay becomes one segment: straight if all of it was, else the
 * cubic that lies closest to it and leaves and arrives in the same directions. Undefined when too few joints are left
 * for a line: two, or three where a closed one would be all straight.
 */
export function deleteJoints(path: Path, joints: Iterable<number>): Path | undefined {
  const gone = new Set(joints);
  const nodes = nodesOf(path);
  const kept = nodes.map((_, index) => index).filter((index) => !gone.has(index));
  if (kept.length < 2) return undefined;
  const result: PathNode[] = kept.map((index) => nodes[index]!);
  const last = path.closed ? kept.length : kept.length - 1;
  if (!path.closed) {
    // An end taken off leaves an end without a curve beyond it.
    result[0] = { ...result[0]!, arriving: undefined };
    result[result.length - 1] = { ...result.at(-1)!, leaving: undefined };
  }
  for (let i = 0; i < last; i++) {
    const [from, to] = [kept[i]!, kept[(i + 1) % kept.length]!];
    if (neighbourIndex(nodes.length, path.closed, from, 1) === to && kept.length > 1) continue;
    const next = (i + 1) % kept.length;
    const handles = bridge(path, from, to);
    result[i] = { ...result[i]!, leaving: handles?.[0] };
    result[next] = { ...result[next]!, arriving: handles?.[1] };
  }
  const isFlat = result.every(({ leaving }) => !leaving);
  if (path.closed && result.length < (isFlat ? 3 : 2)) return undefined;
  return pathOfNodes(settleNodes(result, path.closed, result.keys()), path.closed);
}

const BRIDGE_SAMPLES = 24;

type Handles = readonly [PlanePoint, PlanePoint];

/** Handles of the one segment in place of those from one joint to another; undefined when all of them are straight. */
function bridge(path: Path, from: number, to: number): Handles | undefined {
  const before = pathOfStretch(path, { from, to });
  if (before.segments.every(({ kind }) => kind === 'line')) return undefined;
  const end = before.segments.at(-1)!.to;
  const points = before.segments.flatMap((segment, i) =>
    Array.from({ length: BRIDGE_SAMPLES }, (_, k) =>
      segmentPoint(segmentStart(before, i), segment, k / BRIDGE_SAMPLES),
    ),
  );
  const fitted = fitOneCubic([...points, end], {
    start: segmentDirection(before.start, before.segments[0]!, 0),
    end: segmentDirection(segmentStart(before, before.segments.length - 1), before.segments.at(-1)!, 1),
  });
  const merged = mergedHandles(before);
  if (!merged) return fitted;
  const misfit = ([c1, c2]: Handles) =>
    moveBetween(before, { ...before, segments: [{ kind: 'cubic', c1, c2, to: end, joint: 'corner' }] }).maxMm;
  return misfit(merged) < misfit(fitted) ? merged : fitted;
}

/** Two cubics that were one, put together again: each handle reaches out as far as the parameter was shortened. */
function mergedHandles({ start, segments }: Path): Handles | undefined {
  const [first, second] = segments;
  if (segments.length !== 2 || first?.kind !== 'cubic' || second?.kind !== 'cubic') return undefined;
  const [come, go] = [distanceMm(first.c2, first.to), distanceMm(first.to, second.c1)];
  if (!(come > 0 && go > 0)) return undefined;
  const t = come / (come + go);
  return [
    plus(start, times(minus(first.c1, start), 1 / t)),
    plus(second.to, times(minus(second.c2, second.to), 1 / (1 - t))),
  ];
}

/** Handles of new curves reach this share of the chord: a straight cubic run at even speed. */
const HANDLE_SHARE = 1 / 3;

/**
 * Makes a joint smooth (its handles in line: half-way between the two, or along a straight neighbour; two straight
 * neighbours become curves) or a corner (free from now on, nothing moves). An open path's ends stay corners.
 */
export function setJoint(path: Path, joint: number, kind: Joint): Path {
  const nodes = nodesOf(path);
  const node = nodes[joint];
  if (!node) throw new RangeError(`the path has no joint numbered ${joint}`);
  const before = neighbourIndex(nodes.length, path.closed, joint, -1);
  const after = neighbourIndex(nodes.length, path.closed, joint, 1);
  if (before === undefined || after === undefined) return path;
  if (kind === 'corner') {
    nodes[joint] = { ...node, joint: 'corner' };
    return pathOfNodes(nodes, path.closed);
  }
  const [from, to] = [nodes[before]!, nodes[after]!];
  if (!node.arriving && !node.leaving) {
    nodes[before] = { ...from, leaving: mix(from.at, node.at, HANDLE_SHARE) };
    nodes[after] = { ...nodes[after]!, arriving: mix(to.at, node.at, HANDLE_SHARE) };
  }
  nodes[joint] = smoothed(node, from, to);
  return pathOfNodes(settleNodes(nodes, path.closed, [joint]), path.closed);
}

function smoothed(node: PathNode, from: PathNode, to: PathNode): PathNode {
  const { at } = node;
  const bare = !node.arriving && !node.leaving;
  if (!bare && (!node.arriving || !node.leaving)) return { ...node, joint: 'smooth' };
  const arriving = node.arriving ?? mix(at, from.at, HANDLE_SHARE);
  const leaving = node.leaving ?? mix(at, to.at, HANDLE_SHARE);
  const [come, go] = [unit(minus(at, arriving)), unit(minus(leaving, at))];
  const direction = (come && go && unit(plus(come, go))) ?? come ?? go ?? unit(minus(to.at, from.at));
  if (!direction) return { ...node, joint: 'smooth' };
  return {
    at,
    arriving: minus(at, times(direction, distanceMm(at, arriving))),
    leaving: plus(at, times(direction, distanceMm(at, leaving))),
    joint: 'smooth',
  };
}

/** Makes a segment straight, or a curve that begins as the straight line and bends to meet its smooth joints. */
export function setSegmentKind(path: Path, index: number, kind: 'line' | 'cubic'): Path {
  if (segmentOf(path, index).kind === kind) return path;
  const nodes = nodesOf(path);
  const next = (index + 1) % nodes.length;
  const [from, to] = [nodes[index]!, nodes[next]!];
  const reach = HANDLE_SHARE * distanceMm(from.at, to.at);
  const bent = (node: PathNode, side: 'arriving' | 'leaving', far: PlanePoint): PlanePoint => {
    const other = node[side === 'arriving' ? 'leaving' : 'arriving'];
    const direction = node.joint === 'smooth' && other ? unit(minus(node.at, other)) : undefined;
    return direction ? plus(node.at, times(direction, reach)) : mix(node.at, far, HANDLE_SHARE);
  };
  nodes[index] = { ...from, leaving: kind === 'line' ? undefined : bent(from, 'leaving', to.at) };
  nodes[next] = { ...nodes[next]!, arriving: kind === 'line' ? undefined : bent(to, 'arriving', from.at) };
  return pathOfNodes(settleNodes(nodes, path.closed, [index, next]), path.closed);
}
