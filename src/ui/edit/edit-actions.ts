/** The verbs as the editor's buttons and keys do them, each one undo step under its own name. */
import { lastRevision } from '../../build/lookups.ts';
import type { Build } from '../../build/types.ts';
import { type JointPick, lineWithId } from '../../geometry/edit/edited.ts';
import {
  addJointsAfter,
  deletePicked,
  movePicked,
  movePickedHandle,
  setPickedJoints,
  setPickedSegments,
} from '../../geometry/edit/joint-verbs.ts';
import {
  addCentreMark,
  addLine,
  addNotch,
  addPlacement,
  addWords,
  closeLine,
  deleteLine,
  joinPicked,
  reverseLine,
  setLineKind,
  splitAtPick,
} from '../../geometry/edit/line-verbs.ts';
import { handlesAt, jointCount, jointPoint } from '../../geometry/edit/nodes.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { mover } from '../../geometry/motion.ts';
import { LINE_STYLES, type LineKind } from '../../geometry/line-kinds.ts';
import type { Joint } from '../../geometry/path.ts';
import type { Place } from '../../geometry/place.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { minus, plus } from '../../geometry/vector.ts';
import { bench } from '../bench.ts';
import type { Sitting } from './sitting.ts';

const newId = () => crypto.randomUUID();

export const setJoints = (sitting: Sitting, kind: Joint) =>
  sitting.run(kind === 'smooth' ? 'Smooth joint' : 'Corner joint', (lines) =>
    setPickedJoints(lines, sitting.picks(), kind),
  );

export const setSegments = (sitting: Sitting, kind: 'line' | 'cubic') =>
  sitting.run(kind === 'line' ? 'Straight segment' : 'Curved segment', (lines) =>
    setPickedSegments(lines, sitting.picks(), kind),
  );

export const addJoints = (sitting: Sitting) =>
  sitting.run('Add joint', (lines) => addJointsAfter(lines, sitting.picks()));

export const deleteJoints = (sitting: Sitting) =>
  sitting.run('Delete joint', (lines) => deletePicked(lines, sitting.picks()));

/** The line that the picked joints belong to, if it is one. */
export function pickedLineId(picks: readonly JointPick[]): string | undefined {
  const id = picks[0]?.lineId;
  return picks.every(({ lineId }) => lineId === id) ? id : undefined;
}

function onPickedLine(sitting: Sitting, act: (lineId: string) => void): void {
  const lineId = pickedLineId(sitting.picks());
  if (lineId !== undefined) act(lineId);
  else sitting.store.setState({ news: { tone: 'look', words: 'Pick a joint of one line first.' } });
}

/** Keeps a joint of the line picked, whatever its numbers are now. */
function stayOn(sitting: Sitting, lineId: string): void {
  if (sitting.lines().some(({ id }) => id === lineId)) sitting.pick([{ lineId, joint: 0 }]);
}

export const setKind = (sitting: Sitting, kind: LineKind) =>
  onPickedLine(sitting, (lineId) => {
    if (sitting.run(`Make it a ${LINE_STYLES[kind].label} line`, (lines) => setLineKind(lines, lineId, kind)))
      stayOn(sitting, lineId);
  });

export const split = (sitting: Sitting) => {
  const [pick] = sitting.picks();
  if (pick) sitting.run('Split line', (lines) => splitAtPick(lines, pick, newId));
};

export const join = (sitting: Sitting) =>
  sitting.run('Join lines', (lines) => joinPicked(lines, sitting.picks()));

export const close = (sitting: Sitting) =>
  onPickedLine(sitting, (lineId) => {
    if (sitting.run('Close line', (lines) => closeLine(lines, lineId))) stayOn(sitting, lineId);
  });

export const reverse = (sitting: Sitting) =>
  onPickedLine(sitting, (lineId) => {
    if (sitting.run('Reverse line', (lines) => reverseLine(lines, lineId))) stayOn(sitting, lineId);
  });

export const removeLine = (sitting: Sitting) =>
  onPickedLine(sitting, (lineId) => sitting.run('Delete line', (lines) => deleteLine(lines, lineId)));

/** Walks to the next joint of the line (or back); with `adds` what was picked stays picked. */
export function walk(sitting: Sitting, step: 1 | -1, adds: boolean): void {
  const picks = sitting.picks();
  const last = picks.at(-1);
  const lines = sitting.lines();
  if (!last) {
    const [first] = lines;
    if (first) sitting.pick([{ lineId: first.id, joint: 0 }]);
    return;
  }
  const { path } = lineWithId(lines, last.lineId);
  const count = jointCount(path);
  const joint = path.closed
    ? (last.joint + step + count) % count
    : Math.min(count - 1, Math.max(0, last.joint + step));
  const next = { lineId: last.lineId, joint };
  const others = picks.filter((pick) => pick.lineId !== next.lineId || pick.joint !== joint);
  sitting.pick(adds ? [...others, next] : [next]);
}

/** Walks to the next line's first joint. */
export function walkLines(sitting: Sitting): void {
  const lines = sitting.lines();
  const last = sitting.picks().at(-1);
  const at = lines.findIndex(({ id }) => id === last?.lineId);
  const next = lines[(at + 1) % Math.max(1, lines.length)];
  if (next) sitting.pick([{ lineId: next.id, joint: 0 }]);
}

export function pickAll(sitting: Sitting): void {
  const lines = sitting.lines();
  const lineId = pickedLineId(sitting.picks()) ?? lines[0]?.id;
  const line = lines.find(({ id }) => id === lineId);
  if (!line) return;
  sitting.pick(Array.from({ length: jointCount(line.path) }, (_, joint) => ({ lineId: line.id, joint })));
}

/** From the joint itself to its handles and back, for the arrow keys. */
export function walkHandles(sitting: Sitting): void {
  const picks = sitting.picks();
  const [pick] = picks;
  if (!pick || picks.length > 1) return;
  const handles = handlesAt(lineWithId(sitting.lines(), pick.lineId).path, pick.joint);
  const { handle } = sitting.store.getState();
  const order = [undefined, 'arriving', 'leaving'] as const;
  const there = order.filter((side) => side === undefined || handles[side]);
  sitting.store.setState({ handle: there[(there.indexOf(handle) + 1) % there.length] });
}

const NUDGE = 'Nudge';
/** How far the nudge in progress has come. */
const nudged = new WeakMap<Sitting, PlanePoint>();

/** The picked joints, or the handle in hand, moved by a step in mm. A key held down is one nudge, and one undo step. */
export function nudge(sitting: Sitting, step: PlanePoint): void {
  const isGoingOn = bench.getState().gestureLabel === NUDGE;
  const by = plus((isGoingOn && nudged.get(sitting)) || { x: 0, y: 0 }, step);
  nudged.set(sitting, by);
  const picks = sitting.picks();
  const { handle } = sitting.store.getState();
  const [pick] = picks;
  if (!pick) return;
  sitting.show(NUDGE, (lines) => {
    if (!handle || picks.length > 1) return movePicked(lines, picks, by);
    const at = handlesAt(lineWithId(lines, pick.lineId).path, pick.joint)[handle];
    return movePickedHandle(lines, pick, handle, at ? plus(at, by) : by);
  });
}

export function endNudge(sitting: Sitting): void {
  if (bench.getState().gestureLabel === NUDGE) sitting.endGesture();
}

/** The place of a picked joint, for tools used without a pointer. */
export function pickedPlace(
  sitting: Sitting,
): { readonly lineId: string; readonly place: Place } | undefined {
  const [pick] = sitting.picks();
  if (!pick) return undefined;
  const { path } = lineWithId(sitting.lines(), pick.lineId);
  const place =
    pick.joint < path.segments.length ? { segment: pick.joint, t: 0 } : { segment: pick.joint - 1, t: 1 };
  return { lineId: pick.lineId, place };
}

export function notchAt(sitting: Sitting, lineId: string, place: Place): void {
  const { depthMm, notches } = sitting.store.getState().settings;
  sitting.run('Add notch', (lines) =>
    addNotch(lines, lineId, place, { depthMm, count: notches }, newId),
  );
}

export function centreMarkAt(sitting: Sitting, lineId: string, place: Place): void {
  const { depthMm } = sitting.store.getState().settings;
  sitting.run('Add centre mark', (lines) => addCentreMark(lines, lineId, place, depthMm, newId));
}

export function wordsAt(sitting: Sitting, at: PlanePoint): void {
  const { words, wordsSizeMm } = sitting.store.getState().settings;
  const text = words.trim();
  if (!text) {
    sitting.store.setState({ news: { tone: 'look', words: 'Type the words first, then place them.' } });
    return;
  }
  sitting.run('Add words', (lines) => addWords(lines, at, { text, sizeMm: wordsSizeMm }, 0, newId));
}

/** Lays the chosen piece's outline with its middle at a point. */
export function placementAt(sitting: Sitting, at: PlanePoint): void {
  const { otherId, isMirrored, turnDeg } = sitting.store.getState().settings;
  const other = otherPieces(bench.getState().build, sitting.pieceId).find(({ id }) => id === otherId);
  if (!other) {
    sitting.store.setState({ news: { tone: 'look', words: 'Choose the piece to lay down first.' } });
    return;
  }
  const outlines = lastRevision(other).lines.filter(({ kind }) => kind === 'cut');
  const { minX, minY, maxX, maxY } = boundsOf(outlines.flatMap(({ path }) => flattenPath(path)));
  const motion = { mirrored: isMirrored, angleRad: (turnDeg * Math.PI) / 180, shift: { x: 0, y: 0 } };
  const middle = mover(motion)({ x: (minX + maxX) / 2, y: (minY + maxY) / 2 });
  const shift = minus(at, middle);
  sitting.run('Add placement', (lines) => addPlacement(lines, outlines, { ...motion, shift }, newId));
}

export function otherPieces(build: Build, pieceId: string) {
  return build.pieces.filter(({ id }) => id !== pieceId);
}

/** Ends the line being drawn; too few points are given up. */
export function finishDrawing(sitting: Sitting, closed: boolean): void {
  const { points, settings } = sitting.store.getState();
  sitting.store.setState({ points: [] });
  if (points.length < (closed ? 3 : 2)) return;
  sitting.run('Draw line', (lines) => addLine(lines, settings.drawKind, points, closed, newId));
}

/** Where the picked joint lies. */
export function pickedPoint(sitting: Sitting): PlanePoint | undefined {
  const [pick] = sitting.picks();
  return pick && jointPoint(lineWithId(sitting.lines(), pick.lineId).path, pick.joint);
}
