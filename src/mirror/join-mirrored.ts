import { mover, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
import { type Joint, mapPath, type Path, reversePath, type Segment } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { settleStart } from './settle-at-axis.ts';

/** A run that starts on the axis (and, for closed lines, ends on it), with the joints it is to have there. */
export interface RunToMirror {
  readonly run: Path;
  readonly startJoint: Joint;
  /** Undefined for an open line, whose far end stays free. */
  readonly endJoint?: Joint;
}

/** A line made of a run and its mirror image. */
export interface Mirrored {
  readonly path: Path;
  /** Points on the axis where a slanted straight edge had to meet its mirror image in a corner. */
  readonly pointedAt: readonly PlanePoint[];
}

/**
 * Joins a run to its exact mirror image: the same segments, control points reflected. Where the line passes smoothly
 * over the axis the run is first made to meet it square; a straight edge then runs across in one piece.
 */
export function joinMirrored({ run, startJoint, endJoint }: RunToMirror, axis: StraightLine): Mirrored {
  const start = settle(run, startJoint, axis);
  const backwards = reversePath(start.run);
  const end = endJoint ? settle(backwards, endJoint, axis) : { run: backwards, joint: undefined };
  const half = reversePath(end.run);
  const mirrored = mapPath(end.run, mover(reflectionAcross(axis)));
  const pointedAt = [
    ...(startJoint === 'smooth' && start.joint === 'corner' ? [half.start] : []),
    ...(endJoint === 'smooth' && end.joint === 'corner' ? [end.run.start] : []),
  ];
  const path = end.joint
    ? closed(half, mirrored, { startJoint: start.joint, endJoint: end.joint })
    : open(half, mirrored, start.joint);
  return { path, pointedAt };
}

function settle(run: Path, joint: Joint, axis: StraightLine): { run: Path; joint: Joint } {
  if (joint === 'corner') return { run, joint };
  const settled = settleStart(run, axis);
  return { run: settled.run, joint: settled.isSmooth ? 'smooth' : 'corner' };
}

const withJoint = (segments: readonly Segment[], joint: Joint): Segment[] =>
  segments.map((segment, i) => (i === segments.length - 1 ? { ...segment, joint } : segment));

/** `mirrored` runs from the half's end back to its start. */
function closed(half: Path, mirrored: Path, joints: { startJoint: Joint; endJoint: Joint }): Path {
  let first = withJoint(half.segments, joints.endJoint);
  let second = withJoint(mirrored.segments, joints.startJoint);
  let start = half.start;
  if (isOneEdge(first[first.length - 1]!, second[0]!, joints.endJoint)) {
    // One straight segment across the axis in place of two.
    first = [...first.slice(0, -1), second[0]!];
    second = second.slice(1);
  }
  if (second.length > 0 && isOneEdge(second[second.length - 1]!, first[0]!, joints.startJoint)) {
    second = second.slice(0, -1);
    start = second[second.length - 1]?.to ?? first[first.length - 1]!.to;
  }
  return { closed: true, start, segments: [...first, ...second] };
}

function open(half: Path, mirrored: Path, joint: Joint): Path {
  // From the mirrored free end to the axis, and on to the free end.
  const toAxis = withJoint(mirrored.segments, joint);
  const start = mirrored.start;
  if (isOneEdge(toAxis[toAxis.length - 1]!, half.segments[0]!, joint)) {
    return { closed: false, start, segments: [...toAxis.slice(0, -1), ...half.segments] };
  }
  return { closed: false, start, segments: [...toAxis, ...half.segments] };
}

function isOneEdge(before: Segment, after: Segment, joint: Joint): boolean {
  return joint === 'smooth' && before.kind === 'line' && after.kind === 'line';
}
