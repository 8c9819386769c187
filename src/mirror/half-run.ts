import { segmentLengthsMm } from '../geometry/arc-length.ts';
import { type Crossing, crossingsOf } from '../geometry/cut-by-line.ts';
import { footOnLine, offsetFromLineMm, type StraightLine } from '../geometry/motion.ts';
import { type Joint, type Path, reversePath } from '../geometry/path.ts';
import { lengthAtPlaceMm, type Place } from '../geometry/place.ts';
import { segmentPoint, segmentVelocity, splitSegment } from '../geometry/segment.ts';
import { subPath } from '../geometry/split-path.ts';
import { minus, plus } from '../geometry/vector.ts';
import type { Half } from './axis.ts';

/** One half of a line, from the axis back to the axis, running as the line runs. Both ends lie exactly on the axis. */
export interface HalfRun {
  readonly run: Path;
  /** How the line passes over the axis at the run's start and at its end. */
  readonly startJoint: Joint;
  readonly endJoint: Joint;
}

/** Where a half begins or ends on a line, and how the line passes over the axis there. */
interface Seam {
  readonly place: Place;
  readonly joint: Joint;
  /** True when the half stops short of the axis, at a smooth joint, and its curve is to be run on to it. */
  readonly isShort: boolean;
}

/** A joint of a line near a place; `aheadMm` counts along the line. */
interface NearJoint {
  readonly segment: number;
  readonly joint: Joint;
  readonly aheadMm: number;
}

/** A segment is run on by no more than this share of itself. */
const FARTHEST_RUN_ON = 0.3;
/** Smooth joints are taken to belong on the axis only this share of a corner's reach away from it. */
const SMOOTH_REACH = 1 / 3;

/**
 * One half of a closed line that crosses the axis twice; undefined when it crosses another number of times. A corner
 * within `snapMm` of the axis along the line was meant to be on it, so the half begins there and it is moved
 * onto the axis; two corners at about equal distances are a blunt tip, and stay two.
 */
export function closedHalf(path: Path, axis: StraightLine, half: Half, snapMm: number): HalfRun | undefined {
  const crossings = crossingsOf(path, axis);
  const [entry, exit] = half === 'left' ? (['left', 'right'] as const) : (['right', 'left'] as const);
  const first = crossings.find(({ into }) => into === entry);
  const last = crossings.find(({ into }) => into === exit);
  if (crossings.length !== 2 || !first || !last) return undefined;
  const start = seamAt(path, first, snapMm, 'start');
  const end = seamAt(path, last, snapMm, 'end');
  const fromAxis = startOnAxis(subPath(path, start.place, end.place), axis, start);
  const run = reversePath(startOnAxis(reversePath(fromAxis), axis, end));
  return { run, startJoint: start.joint, endJoint: end.joint };
}

/** A half of an open line, from the axis to its free end. */
export interface OpenHalf {
  readonly run: Path;
  readonly joint: Joint;
  /** True when the line was drawn towards the axis, so that the run goes the other way. */
  readonly isReversed: boolean;
}

/** The part of an open line on one half; undefined unless the line crosses the axis exactly once. */
export function openHalf(path: Path, axis: StraightLine, half: Half, snapMm: number): OpenHalf | undefined {
  const [crossing, second] = crossingsOf(path, axis);
  if (!crossing || second) return undefined;
  const isReversed = crossing.into !== half;
  const seam = seamAt(path, crossing, snapMm, isReversed ? 'end' : 'start');
  const last = path.segments.length - 1;
  const part = isReversed
    ? reversePath(subPath(path, { segment: 0, t: 0 }, seam.place))
    : subPath(path, seam.place, { segment: last, t: 1 });
  return { run: startOnAxis(part, axis, seam), joint: seam.joint, isReversed };
}

/**
 * Where a half is cut: at the corner that belongs on the axis; at a smooth joint just inside the half, so that no scrap of
 * a segment is left beside the axis; or at the crossing itself, where the line is smooth.
 */
function seamAt(path: Path, { place }: Crossing, snapMm: number, end: 'start' | 'end'): Seam {
  const near = jointsNear(path, place, snapMm);
  const corner = cornerToSnap(near.filter(({ joint }) => joint === 'corner'));
  const isInside = ({ joint, aheadMm }: NearJoint) =>
    joint === 'smooth' && (end === 'start' ? aheadMm >= 0 : aheadMm <= 0);
  const chosen = corner ?? near.find(isInside);
  if (!chosen) return { place, joint: 'smooth', isShort: false };
  const after = (chosen.segment + 1) % path.segments.length;
  return {
    place: end === 'start' ? { segment: after, t: 0 } : { segment: chosen.segment, t: 1 },
    joint: chosen.joint,
    isShort: chosen.joint === 'smooth',
  };
}

/** The nearest corner, unless two lie about evenly to both sides: a blunt tip. */
function cornerToSnap(corners: readonly NearJoint[]): NearJoint | undefined {
  const sorted = [...corners].sort((a, b) => Math.abs(a.aheadMm) - Math.abs(b.aheadMm));
  const [nearest] = sorted;
  const facing = sorted.find(({ aheadMm }) => nearest && aheadMm * nearest.aheadMm < 0);
  if (nearest && facing && Math.abs(nearest.aheadMm) > Math.abs(facing.aheadMm) / 3) return undefined;
  return nearest;
}

function jointsNear(path: Path, place: Place, snapMm: number): NearJoint[] {
  const lengths = segmentLengthsMm(path);
  const lengthMm = lengths.reduce((sum, length) => sum + length, 0);
  const hereMm = lengthAtPlaceMm(path, place);
  let endMm = 0;
  return path.segments.flatMap(({ joint }, segment): NearJoint[] => {
    endMm += lengths[segment]!;
    if (!path.closed && segment === path.segments.length - 1) return [];
    const gap = endMm - hereMm;
    const aheadMm = path.closed ? gap - lengthMm * Math.round(gap / lengthMm) : gap;
    const reach = joint === 'corner' ? snapMm : SMOOTH_REACH * snapMm;
    return Math.abs(aheadMm) <= reach ? [{ segment, joint, aheadMm }] : [];
  });
}

/** Brings a run's start onto the axis: a short one is run on along its own curve, any other moved with its handle. */
function startOnAxis(run: Path, axis: StraightLine, { isShort }: Seam): Path {
  const reached = isShort ? runOnToAxis(run, axis) : run;
  const start = footOnLine(axis, reached.start);
  const shift = minus(start, reached.start);
  const [first, ...rest] = reached.segments;
  if (first?.kind !== 'cubic') return { ...reached, start };
  return { ...reached, start, segments: [{ ...first, c1: plus(first.c1, shift) }, ...rest] };
}

/** The first segment run backwards beyond its start until it meets the axis; given up when that is far. */
function runOnToAxis(run: Path, axis: StraightLine): Path {
  const [first, ...rest] = run.segments;
  if (!first) return run;
  let t = 0;
  for (let i = 0; i < 20; i++) {
    const offset = offsetFromLineMm(axis, segmentPoint(run.start, first, t));
    const { x, y } = segmentVelocity(run.start, first, t);
    const speed = y * Math.cos(axis.angleRad) - x * Math.sin(axis.angleRad);
    const next = t - offset / speed;
    if (!(Math.abs(next) < FARTHEST_RUN_ON)) return run;
    if (Math.abs(next - t) < 1e-15) break;
    t = next;
  }
  const [before, after] = splitSegment(run.start, first, t);
  return { ...run, start: before.to, segments: [after, ...rest] };
}
