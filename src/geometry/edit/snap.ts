import { type EdgeIndex, indexEdges } from '../edge-index.ts';
import type { PieceLine } from '../line-kinds.ts';
import { flattenPath } from '../measure.ts';
import { footOnLine, type StraightLine } from '../motion.ts';
import type { Path } from '../path.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { jointCount, jointPoint } from './nodes.ts';

/** Snapped points lie this near to the curves, mm. */
const FLAT_MM = 0.005;

export interface SnapTargets {
  readonly joints: EdgeIndex | undefined;
  readonly edges: EdgeIndex | undefined;
  readonly axis: StraightLine | undefined;
}

export interface Snapped {
  readonly point: PlanePoint;
  /** What it was drawn to; undefined where nothing was within reach. */
  readonly to: 'joint' | 'edge' | 'axis' | undefined;
}

/** A joint of a line, by the line's place in a list. */
export interface JointRef {
  readonly line: number;
  readonly joint: number;
}

/** What a moving point may snap to: the joints and edges of the lines, but for those that `isMoving`. */
export function snapTargets(
  lines: readonly PieceLine[],
  isMoving: (ref: JointRef) => boolean,
  axis?: StraightLine,
): SnapTargets {
  const still: PlanePoint[] = [];
  const edges: { points: readonly PlanePoint[]; closed: boolean }[] = [];
  lines.forEach(({ path }, line) => {
    let moves = false;
    for (let joint = 0; joint < jointCount(path); joint++) {
      if (isMoving({ line, joint })) moves = true;
      else still.push(jointPoint(path, joint));
    }
    if (!moves) edges.push({ points: flattenPath(path, FLAT_MM), closed: path.closed });
  });
  return {
    joints:
      still.length > 0 ? indexEdges(still.map((point) => ({ points: [point], closed: false }))) : undefined,
    edges: edges.length > 0 ? indexEdges(edges) : undefined,
    axis,
  };
}

/** The nearest joint within reach, else the axis, else the nearest edge, else the point itself. */
export function snap(at: PlanePoint, targets: SnapTargets, reachMm: number): Snapped {
  const joint = targets.joints?.nearest(at.x, at.y, reachMm);
  if (joint) return { point: { x: joint.x, y: joint.y }, to: 'joint' };
  const foot = targets.axis && footOnLine(targets.axis, at);
  if (foot && distanceMm(foot, at) <= reachMm) return { point: foot, to: 'axis' };
  const edge = targets.edges?.nearest(at.x, at.y, reachMm);
  if (edge) return { point: { x: edge.x, y: edge.y }, to: 'edge' };
  return { point: at, to: undefined };
}

/** Joints of lines, findable by where they lie: for picking them among thousands. */
export interface JointIndex {
  /** The nearest joint within reach, or undefined. */
  nearest(at: PlanePoint, reachMm: number): JointRef | undefined;
}

export function indexJoints(paths: readonly Path[]): JointIndex {
  const refs = paths.flatMap((path, line) =>
    Array.from({ length: jointCount(path) }, (_, joint): JointRef => ({ line, joint })),
  );
  if (refs.length === 0) return { nearest: () => undefined };
  const index = indexEdges(
    refs.map(({ line, joint }) => ({ points: [jointPoint(paths[line]!, joint)], closed: false })),
  );
  return { nearest: (at, reachMm) => refs[index.nearest(at.x, at.y, reachMm)?.line ?? -1] };
}
