import { failure, success } from '../../outcome.ts';
import type { LineKind, LineWords, PieceLine } from '../line-kinds.ts';
import { pathAreaMm2 } from '../measure.ts';
import type { RigidMotion } from '../motion.ts';
import { type Path, polylinePath, reversePath } from '../path.ts';
import type { Place } from '../place.ts';
import type { PlanePoint } from '../point.ts';
import {
  type EditOutcome,
  type JointPick,
  lineWithId,
  type NewId,
  NOTHING_PICKED,
  withPath,
} from './edited.ts';
import { closePath, joinAtEnds, type PathEnd, splitAtJoint } from './ends.ts';
import { centreMarkPath, notchPaths, placementPaths, wordsPath } from './marks.ts';
import { jointCount } from './nodes.ts';
import { type OffsetCorner, offsetLine } from './offset-line.ts';

/** The verbs on whole lines, and those that add one. */

function added(
  lines: readonly PieceLine[],
  kind: LineKind,
  paths: readonly Path[],
  newId: NewId,
): EditOutcome {
  const fresh = paths.map((path): PieceLine => ({ id: newId(), kind, path }));
  const [first] = fresh;
  return success({ lines: [...lines, ...fresh], picks: first ? [{ lineId: first.id, joint: 0 }] : [] });
}

/** Outlines run counter-clockwise, openings clockwise. */
function inItsSense(path: Path, kind: LineKind): Path {
  if (!path.closed || (kind !== 'cut' && kind !== 'cutout')) return path;
  return pathAreaMm2(path) >= 0 === (kind === 'cut') ? path : reversePath(path);
}

export function setLineKind(lines: readonly PieceLine[], lineId: string, kind: LineKind): EditOutcome {
  const line = lineWithId(lines, lineId);
  if (line.kind === kind) return success({ lines, picks: [] });
  const { words: _, ...bare } = line;
  const path = inItsSense(line.path, kind);
  return success({ lines: lines.map((one) => (one === line ? { ...bare, kind, path } : one)), picks: [] });
}

export function reverseLine(lines: readonly PieceLine[], lineId: string): EditOutcome {
  const { path, kind } = lineWithId(lines, lineId);
  if (path.closed && (kind === 'cut' || kind === 'cutout')) {
    return failure(
      'keeps-its-sense',
      'A closed cut line always runs with the foam on its left, so it is not reversed. Open lines, score and placement lines can be.',
    );
  }
  return success({ lines: withPath(lines, lineId, reversePath(path)), picks: [] });
}

export function deleteLine(lines: readonly PieceLine[], lineId: string): EditOutcome {
  lineWithId(lines, lineId);
  return success({ lines: lines.filter(({ id }) => id !== lineId), picks: [] });
}

export function closeLine(lines: readonly PieceLine[], lineId: string): EditOutcome {
  const { path, kind } = lineWithId(lines, lineId);
  if (!path.closed && path.segments.length < 2 && path.segments[0]?.kind === 'line') {
    return failure(
      'no-ends',
      'One straight segment cannot be closed: it would run back over itself. Add a joint first.',
    );
  }
  return success({ lines: withPath(lines, lineId, inItsSense(closePath(path), kind)), picks: [] });
}

/** Opens a closed line at the picked joint, or parts an open one there. */
export function splitAtPick(
  lines: readonly PieceLine[],
  { lineId, joint }: JointPick,
  newId: NewId,
): EditOutcome {
  const line = lineWithId(lines, lineId);
  const [first, second] = splitAtJoint(line.path, joint);
  const parts: PieceLine[] = [{ ...line, path: first! }];
  if (second) parts.push({ ...line, id: newId(), path: second });
  return success({
    lines: lines.flatMap((one) => (one === line ? parts : [one])),
    picks: [{ lineId, joint: second ? jointCount(first!) - 1 : 0 }],
  });
}

const NO_ENDS = failure(
  'no-ends',
  'Two ends of open lines are needed to join them. Pick both ends, one with Shift held, then join.',
);

function endAt(lines: readonly PieceLine[], { lineId, joint }: JointPick): PathEnd | undefined {
  const { path } = lineWithId(lines, lineId);
  if (path.closed) return undefined;
  if (joint === 0) return 'start';
  return joint === jointCount(path) - 1 ? 'end' : undefined;
}

/** Joins two picked ends: of one line, which is closed then, or of two, which become the first one. */
export function joinPicked(lines: readonly PieceLine[], picks: readonly JointPick[]): EditOutcome {
  const [a, b] = picks;
  if (!a || !b || picks.length > 2) return NO_ENDS;
  const [endA, endB] = [endAt(lines, a), endAt(lines, b)];
  if (!endA || !endB) return NO_ENDS;
  if (a.lineId === b.lineId) return endA === endB ? NO_ENDS : closeLine(lines, a.lineId);
  const path = joinAtEnds(lineWithId(lines, a.lineId).path, endA, lineWithId(lines, b.lineId).path, endB);
  const rest = lines.filter(({ id }) => id !== b.lineId);
  return success({ lines: withPath(rest, a.lineId, path), picks: [] });
}

export interface OffsetChoice {
  /** Outwards, or to the left of an open line, mm; inwards or to the right when negative. */
  readonly distanceMm: number;
  readonly corner: OffsetCorner;
  /** In place of the line itself; else a new line of this kind beside it. */
  readonly into: 'same' | LineKind;
}

export function offsetPieceLine(
  lines: readonly PieceLine[],
  lineId: string,
  { distanceMm, corner, into }: OffsetChoice,
  newId: NewId,
): EditOutcome {
  const line = lineWithId(lines, lineId);
  const outcome = offsetLine(line.path, distanceMm, corner);
  if (!outcome.ok) return outcome;
  if (into !== 'same')
    return added(
      lines,
      into,
      outcome.value.map((path) => inItsSense(path, into)),
      newId,
    );
  const parts = outcome.value.map(
    (path, i): PieceLine => ({ ...line, id: i === 0 ? line.id : newId(), path }),
  );
  return success({ lines: lines.flatMap((one) => (one === line ? parts : [one])), picks: [] });
}

/** A new line through points; a closed one needs three. */
export function addLine(
  lines: readonly PieceLine[],
  kind: LineKind,
  points: readonly PlanePoint[],
  closed: boolean,
  newId: NewId,
): EditOutcome {
  if (points.length < (closed ? 3 : 2)) return NOTHING_PICKED;
  return added(lines, kind, [inItsSense(polylinePath(points, closed), kind)], newId);
}

/** A drawn path as a new line, run in the sense of its kind. */
export function addPath(lines: readonly PieceLine[], kind: LineKind, path: Path, newId: NewId): EditOutcome {
  return added(lines, kind, [inItsSense(path, kind)], newId);
}

export function addNotch(
  lines: readonly PieceLine[],
  lineId: string,
  place: Place,
  { depthMm, count }: { readonly depthMm: number; readonly count: 1 | 2 },
  newId: NewId,
): EditOutcome {
  return added(lines, 'mark', notchPaths(lineWithId(lines, lineId), place, depthMm, count), newId);
}

export function addCentreMark(
  lines: readonly PieceLine[],
  lineId: string,
  place: Place,
  depthMm: number,
  newId: NewId,
): EditOutcome {
  return added(lines, 'mark', [centreMarkPath(lineWithId(lines, lineId), place, depthMm)], newId);
}

/** Words that begin at a point and run in a direction (counter-clockwise from x). */
export function addWords(
  lines: readonly PieceLine[],
  at: PlanePoint,
  words: LineWords,
  angleRad: number,
  newId: NewId,
): EditOutcome {
  const line: PieceLine = {
    id: newId(),
    kind: 'mark',
    path: wordsPath(at, words.text, words.sizeMm, angleRad),
    words,
  };
  return success({ lines: [...lines, line], picks: [{ lineId: line.id, joint: 0 }] });
}

/** The outlines of another piece as placement lines, true to scale, moved by `motion`. */
export function addPlacement(
  lines: readonly PieceLine[],
  other: readonly PieceLine[],
  motion: RigidMotion,
  newId: NewId,
): EditOutcome {
  return added(lines, 'placement', placementPaths(other, motion), newId);
}
