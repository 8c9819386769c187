/** What the pointer does on the table: catching joints and handles, boxes, and taps with a tool in hand. */
import type { EditOutcome, JointPick } from '../../geometry/edit/edited.ts';
import { addJointAt, movePicked, movePickedHandle } from '../../geometry/edit/joint-verbs.ts';
import type { HandleSide } from '../../geometry/edit/move-joints.ts';
import { handlesAt, jointCount, jointPoint } from '../../geometry/edit/nodes.ts';
import {
  indexJoints,
  type JointIndex,
  snap,
  type SnapTargets,
  snapTargets,
} from '../../geometry/edit/snap.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { StraightLine } from '../../geometry/motion.ts';
import { type NearestOnPath, nearestOnPath } from '../../geometry/nearest.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { minus, plus } from '../../geometry/vector.ts';
import type { GrabHandlers } from '../worktable/use-gestures.ts';
import type { TapHow } from '../worktable/worktable.tsx';
import { paintDrag, paintOf } from './paint.ts';
import type { Sitting } from './sitting.ts';

/** How near the pointer must come, px: a thumb covers more than a mouse's tip. */
const REACH_PX = 10;
const THUMB_REACH_PX = 22;
const SNAP_PX = 8;

function reachMm({ isTouch, zoom }: TapHow): number {
  return (isTouch ? THUMB_REACH_PX : REACH_PX) / zoom;
}

const indices = new WeakMap<readonly PieceLine[], JointIndex>();

/** The joints of lines, findable; kept as long as the lines are. */
function jointsOf(lines: readonly PieceLine[]): JointIndex {
  const known = indices.get(lines) ?? indexJoints(lines.map(({ path }) => path));
  indices.set(lines, known);
  return known;
}

const isSame = (a: JointPick, b: JointPick) => a.lineId === b.lineId && a.joint === b.joint;

interface NearLine extends NearestOnPath {
  readonly line: PieceLine;
}

/** The line nearest to a point, within reach; words have no edge. */
export function lineNear(
  lines: readonly PieceLine[],
  at: PlanePoint,
  withinMm: number,
): NearLine | undefined {
  let best: NearLine | undefined;
  for (const line of lines) {
    if (line.words) continue;
    const near = nearestOnPath(line.path, at);
    if (near.distanceMm <= Math.min(withinMm, best?.distanceMm ?? Infinity)) best = { ...near, line };
  }
  return best;
}

/** A snapped point, for tools that set points. */
export function snappedPoint(
  sitting: Sitting,
  axis: StraightLine | undefined,
  at: PlanePoint,
  zoom: number,
): PlanePoint {
  if (!sitting.store.getState().snaps) return at;
  return snap(
    at,
    snapTargets(sitting.lines(), () => false, axis),
    SNAP_PX / zoom,
  ).point;
}

/** What a pointer that comes down takes hold of, if anything. */
export function editGrab(
  sitting: Sitting,
  axis: StraightLine | undefined,
  at: PlanePoint,
  how: TapHow,
): GrabHandlers<PlanePoint> | undefined {
  const { tool, picksMore } = sitting.store.getState();
  if (paintOf(tool)) return paintDrag(sitting, at, how);
  if (tool !== 'pick') return undefined;
  const lines = sitting.lines();
  const adds = how.adds || picksMore;
  const handle = handleNear(lines, sitting.picks(), at, reachMm(how));
  if (handle) return handleDrag(sitting, handle.pick, handle.side);
  const found = jointsOf(lines).nearest(at, reachMm(how));
  if (found) {
    return jointDrag(sitting, { lineId: lines[found.line]!.id, joint: found.joint }, adds, axis, at, how);
  }
  return how.adds ? boxDrag(sitting, at) : undefined;
}

/** Handles show, and can be caught, while few joints are picked. */
const MOST_HANDLES = 12;

function handleNear(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  at: PlanePoint,
  withinMm: number,
): { readonly pick: JointPick; readonly side: HandleSide } | undefined {
  if (picks.length > MOST_HANDLES) return undefined;
  let best: { readonly pick: JointPick; readonly side: HandleSide; readonly distance: number } | undefined;
  for (const pick of picks) {
    const { path } = lines.find(({ id }) => id === pick.lineId)!;
    const handles = handlesAt(path, pick.joint);
    for (const side of ['arriving', 'leaving'] as const) {
      const handle = handles[side];
      const distance = handle ? distanceMm(handle, at) : Infinity;
      // A handle that lies on its joint leaves the joint to be caught.
      const isNearest =
        distance < Math.min(best?.distance ?? Infinity, distanceMm(jointPoint(path, pick.joint), at));
      if (distance <= withinMm && isNearest) best = { pick, side, distance };
    }
  }
  return best;
}

/** Shows a verb's outcome while the drag lasts, and does it once at the end. */
function drag(
  sitting: Sitting,
  label: string,
  verbTo: (lines: readonly PieceLine[], to: PlanePoint) => EditOutcome,
  onTap: () => void,
  before: readonly JointPick[],
): GrabHandlers<PlanePoint> {
  const lines = sitting.lines();
  let last: PlanePoint | undefined;
  return {
    move(to) {
      last = to;
      const outcome = verbTo(lines, to);
      if (outcome.ok) sitting.store.setState({ draft: outcome.value.lines });
    },
    end(isTap) {
      const to = last;
      sitting.store.setState({ draft: undefined });
      if (isTap || !to) onTap();
      else sitting.run(label, (now) => verbTo(now, to));
    },
    cancel: () => sitting.store.setState({ draft: undefined, picks: before }),
  };
}

function handleDrag(sitting: Sitting, pick: JointPick, side: HandleSide): GrabHandlers<PlanePoint> {
  sitting.store.setState({ handle: side });
  const picks = sitting.picks();
  const verb = (lines: readonly PieceLine[], to: PlanePoint): EditOutcome => {
    const outcome = movePickedHandle(lines, pick, side, to);
    return outcome.ok ? { ok: true, value: { ...outcome.value, picks } } : outcome;
  };
  return drag(sitting, 'Move handle', verb, () => undefined, picks);
}

function jointDrag(
  sitting: Sitting,
  pick: JointPick,
  adds: boolean,
  axis: StraightLine | undefined,
  from: PlanePoint,
  { zoom }: TapHow,
): GrabHandlers<PlanePoint> {
  const before = sitting.picks();
  const wasPicked = before.some((one) => isSame(one, pick));
  if (!wasPicked) sitting.pick(adds ? [...before, pick] : [pick]);
  const picks = sitting.picks();
  const lines = sitting.lines();
  const start = jointPoint(lines.find(({ id }) => id === pick.lineId)!.path, pick.joint);
  // Worked out when the drag begins: a tap needs none of it.
  let targets: SnapTargets | undefined;
  const stepTo = (to: PlanePoint): PlanePoint => {
    const wanted = plus(start, minus(to, from));
    if (!sitting.store.getState().snaps) return minus(wanted, start);
    targets ??= snapTargets(
      lines,
      ({ line, joint }) => picks.some((one) => one.joint === joint && one.lineId === lines[line]!.id),
      axis,
    );
    return minus(snap(wanted, targets, SNAP_PX / zoom).point, start);
  };
  return drag(
    sitting,
    picks.length === 1 ? 'Move joint' : 'Move joints',
    (now, to) => movePicked(now, picks, stepTo(to)),
    () => {
      if (!wasPicked) return;
      sitting.pick(adds ? before.filter((one) => !isSame(one, pick)) : [pick]);
    },
    before,
  );
}

function boxDrag(sitting: Sitting, from: PlanePoint): GrabHandlers<PlanePoint> {
  const before = sitting.picks();
  const close = () => sitting.store.setState({ box: undefined });
  return {
    move(to) {
      sitting.store.setState({ box: { from, to } });
    },
    end() {
      const { box } = sitting.store.getState();
      close();
      if (box) sitting.pick([...before, ...jointsInBox(sitting.lines(), box.from, box.to, before)]);
    },
    cancel: close,
  };
}

function jointsInBox(
  lines: readonly PieceLine[],
  a: PlanePoint,
  b: PlanePoint,
  known: readonly JointPick[],
): JointPick[] {
  const [low, high] = [
    { x: Math.min(a.x, b.x), y: Math.min(a.y, b.y) },
    { x: Math.max(a.x, b.x), y: Math.max(a.y, b.y) },
  ];
  return lines.flatMap(({ id: lineId, path }) =>
    Array.from({ length: jointCount(path) }, (_, joint) => ({ lineId, joint })).filter((pick) => {
      const { x, y } = jointPoint(path, pick.joint);
      const isInside = x >= low.x && x <= high.x && y >= low.y && y <= high.y;
      return isInside && !known.some((one) => isSame(one, pick));
    }),
  );
}

/** A tap on nothing that can be caught: an edge picks the joints at its ends, the bare table lets go. */
export function pickByTap(sitting: Sitting, at: PlanePoint, how: TapHow): void {
  const near = lineNear(sitting.lines(), at, reachMm(how));
  const adds = how.adds || sitting.store.getState().picksMore;
  if (!near) {
    if (!adds) sitting.pick([]);
    return;
  }
  const { line, place } = near;
  const ends = [place.segment, (place.segment + 1) % jointCount(line.path)];
  const picks = ends.map((joint) => ({ lineId: line.id, joint }));
  const before = adds ? sitting.picks() : [];
  sitting.pick([...before, ...picks.filter((pick) => !before.some((one) => isSame(one, pick)))]);
}

/** A joint more where an edge was tapped. */
export function addJointByTap(sitting: Sitting, at: PlanePoint, how: TapHow): void {
  const near = lineNear(sitting.lines(), at, 2 * reachMm(how));
  if (near) sitting.run('Add joint', (lines) => addJointAt(lines, near.line.id, near.place));
}
