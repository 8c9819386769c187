/** The verbs as the editor's buttons and keys do them, each one undo step under its own name. */
import { type JointPick, lineWithId } from '../../geometry/edit/edited.ts';
import {
  addJointsAfter,
  deletePicked,
  movePicked,
  movePickedHandle,
  setPickedJoints,
  setPickedSegments,
  shapePickedCorners,
} from '../../geometry/edit/joint-verbs.ts';
import {
  closeLine,
  deleteLine,
  joinPicked,
  type OffsetChoice,
  reverseLine,
  setLineKind,
  splitAtPick,
} from '../../geometry/edit/line-verbs.ts';
import { straightenPicked } from '../../geometry/edit/stretch-verbs.ts';
import { handlesAt, jointCount } from '../../geometry/edit/nodes.ts';
import { LINE_STYLES, type LineKind } from '../../geometry/line-kinds.ts';
import type { Joint } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { plus } from '../../geometry/vector.ts';
import { bench } from '../bench.ts';
import { shapeAway } from './shape-away.ts';
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

export const straighten = (sitting: Sitting) =>
  sitting.run('Straighten', (lines) => straightenPicked(lines, sitting.picks()));

export const fair = (sitting: Sitting, limitMm: number) =>
  shapeAway(sitting, 'Even out', { verb: 'even-out', picks: sitting.picks(), limitMm });

export const clean = (sitting: Sitting, toleranceMm: number) =>
  shapeAway(sitting, 'Clean up again', { verb: 'clean', picks: sitting.picks(), toleranceMm });

export const shapeCorners = (sitting: Sitting, how: 'cut' | 'round', sizeMm: number) =>
  sitting.run(how === 'cut' ? 'Cut off corner' : 'Round corner', (lines) =>
    shapePickedCorners(lines, sitting.picks(), how, sizeMm),
  );

export const offset = (sitting: Sitting, choice: OffsetChoice) =>
  onPickedLine(sitting, (lineId) =>
    shapeAway(sitting, 'Line at equal distance', { verb: 'offset', lineId, choice }),
  );

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

/** Walks to the next line's first joint; with `adds` what was picked stays picked. */
export function walkLines(sitting: Sitting, adds: boolean): void {
  const lines = sitting.lines();
  const last = sitting.picks().at(-1);
  const at = lines.findIndex(({ id }) => id === last?.lineId);
  const next = lines[(at + 1) % Math.max(1, lines.length)];
  if (next) sitting.pick([...(adds ? sitting.picks() : []), { lineId: next.id, joint: 0 }]);
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
