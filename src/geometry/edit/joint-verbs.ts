import { success } from '../../outcome.ts';
import type { PieceLine } from '../line-kinds.ts';
import type { Joint, Path } from '../path.ts';
import type { Place } from '../place.ts';
import type { PlanePoint } from '../point.ts';
import { cutCorner, roundCorner } from './corner-shape.ts';
import {
  type EditOutcome,
  eachPickedLine,
  type JointPick,
  lineWithId,
  NOTHING_PICKED,
  picksByLine,
  withPath,
} from './edited.ts';
import { type HandleSide, moveHandle, moveJoints, placeJoint, setSegmentLength } from './move-joints.ts';
import { jointCount, neighbourIndex, segmentsAt } from './nodes.ts';
import { addJoint, deleteJoints, setJoint, setSegmentKind } from './reshape-joints.ts';

/** The verbs on picked joints. Each takes a piece's lines and gives them changed, with what is picked afterwards. */

export function movePicked(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  by: PlanePoint,
): EditOutcome {
  return eachPickedLine(lines, picks, (path, joints) => moveJoints(path, joints, by));
}

export function placePicked(lines: readonly PieceLine[], pick: JointPick, at: PlanePoint): EditOutcome {
  return eachPickedLine(lines, [pick], (path) => placeJoint(path, pick.joint, at));
}

export function movePickedHandle(
  lines: readonly PieceLine[],
  pick: JointPick,
  side: HandleSide,
  to: PlanePoint,
): EditOutcome {
  return eachPickedLine(lines, [pick], (path) => moveHandle(path, pick.joint, side, to));
}

/** A joint more at a place of a line, which is picked then. */
export function addJointAt(lines: readonly PieceLine[], lineId: string, place: Place): EditOutcome {
  const { path, joint } = addJoint(lineWithId(lines, lineId).path, place);
  return success({ lines: withPath(lines, lineId, path), picks: [{ lineId, joint }] });
}

/** A joint more in the middle of the segment after each picked one (before it, at an open line's end). */
export function addJointsAfter(lines: readonly PieceLine[], picks: readonly JointPick[]): EditOutcome {
  if (picks.length === 0) return NOTHING_PICKED;
  let result = lines;
  const added: JointPick[] = [];
  for (const [lineId, joints] of picksByLine(picks)) {
    let { path } = lineWithId(lines, lineId);
    // From the last on, so that the numbers of the others hold.
    const segments = joints.map((joint) => {
      const { before, after } = segmentsAt(path, joint);
      return after ?? before!;
    });
    const ordered = [...new Set(segments)].sort((a, b) => a - b);
    for (const segment of ordered.toReversed()) ({ path } = addJoint(path, { segment, t: 0.5 }));
    ordered.forEach((segment, k) => added.push({ lineId, joint: segment + k + 1 }));
    result = withPath(result, lineId, path);
  }
  return success({ lines: result, picks: added });
}

/** Takes the picked joints out; a line with too few left goes with them. Of one line the joint before is picked then. */
export function deletePicked(lines: readonly PieceLine[], picks: readonly JointPick[]): EditOutcome {
  if (picks.length === 0) return NOTHING_PICKED;
  const byLine = picksByLine(picks);
  let left: readonly JointPick[] = [];
  const result = lines.flatMap((line): PieceLine[] => {
    const joints = byLine.get(line.id);
    if (!joints) return [line];
    const path = deleteJoints(line.path, joints);
    if (path && byLine.size === 1) {
      left = [{ lineId: line.id, joint: Math.max(0, Math.min(...joints) - 1) }];
    }
    return path ? [{ ...line, path }] : [];
  });
  return success({ lines: result, picks: left });
}

export function setPickedJoints(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  kind: Joint,
): EditOutcome {
  return eachPickedLine(lines, picks, (path, joints) =>
    joints.reduce((changed, joint) => setJoint(changed, joint, kind), path),
  );
}

/**
 * The segments that picked joints stand for: those between picked neighbours, or else the one after each (before it,
 * at an open line's end).
 */
export function pickedSegments(path: Path, joints: readonly number[]): number[] {
  const count = jointCount(path);
  const between = joints.filter((joint) => {
    const next = neighbourIndex(count, path.closed, joint, 1);
    return next !== undefined && next !== joint && joints.includes(next);
  });
  if (between.length > 0) return between;
  return joints.map((joint) => segmentsAt(path, joint).after ?? joint - 1);
}

export function setPickedSegments(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  kind: 'line' | 'cubic',
): EditOutcome {
  return eachPickedLine(lines, picks, (path, joints) =>
    pickedSegments(path, joints).reduce((changed, segment) => setSegmentKind(changed, segment, kind), path),
  );
}

/** An exact length, mm, for the segment that the picked joint stands for; its first joint stays. */
export function setPickedLength(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  lengthMm: number,
): EditOutcome {
  return eachPickedLine(lines, picks, (path, joints) =>
    pickedSegments(path, joints).reduce(
      (changed, segment) => setSegmentLength(changed, segment, lengthMm),
      path,
    ),
  );
}

/** Cuts the picked corners off, or rounds them with a radius, mm. All of them or none. */
export function shapePickedCorners(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  how: 'cut' | 'round',
  sizeMm: number,
): EditOutcome {
  if (picks.length === 0) return NOTHING_PICKED;
  let result = lines;
  for (const [lineId, joints] of picksByLine(picks)) {
    let { path } = lineWithId(lines, lineId);
    // From the last on, so that the numbers of the others hold.
    for (const joint of joints.toSorted((a, b) => b - a)) {
      const outcome = how === 'cut' ? cutCorner(path, joint, sizeMm) : roundCorner(path, joint, sizeMm);
      if (!outcome.ok) return outcome;
      path = outcome.value;
    }
    result = withPath(result, lineId, path);
  }
  return success({ lines: result, picks: [] });
}
