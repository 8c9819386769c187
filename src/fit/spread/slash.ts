import { type Crossing, crossingsOf } from '../../geometry/cut-by-line.ts';
import type { RigidMotion, StraightLine } from '../../geometry/motion.ts';
import type { Path } from '../../geometry/path.ts';
import type { Place } from '../../geometry/place.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { dot, minus, quarterLeft, times, unit } from '../../geometry/vector.ts';

/**
 * A line across a piece at which it is cut open, mm (slash and spread). `parallel`: both sides move apart by
 * `openingMm`. `from` and `to`: hinged at that end, open by `openingMm` at the other. Below zero the sides lap.
 */
export interface Slash {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly openingMm: number;
  readonly opens: 'parallel' | 'hinged-from' | 'hinged-to';
}

/** Where a slash passes through the piece, from edge to edge. */
export interface Chord {
  readonly slash: Slash;
  readonly line: StraightLine;
  /** Both ends on the outline, in the slash's own direction. */
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  /** Their places on the outline. */
  readonly ends: readonly [Place, Place];
  /** How far along the slash's line both ends lie, mm. */
  readonly alongMm: readonly [number, number];
  /** The motion of what lies left of the slash against what lies right of it. */
  readonly step: RigidMotion;
  /** Foam that the opening adds between two distances along the line (a parallelogram, or part of a triangle), mm2. */
  readonly addedMm2: (lowMm: number, highMm: number) => number;
}

/** A stretch of the slash's line inside the outline. */
interface Inside {
  readonly enter: Crossing;
  readonly leave: Crossing;
}

/** An inside stretch belongs to the slash when at least this much of it was drawn, or the drawn line's middle lies on it. */
const DRAWN_SHARE = 0.5;

function lineOf({ from, to }: Pick<Slash, 'from' | 'to'>): StraightLine {
  return { point: from, angleRad: Math.atan2(to.y - from.y, to.x - from.x) };
}

/** Consecutive crossings in pairs: between the two of a pair the line runs inside the closed path. */
function insideStretches(path: Path, line: StraightLine): Inside[] {
  const crossings = [...crossingsOf(path, line)].sort((a, b) => a.alongMm - b.alongMm);
  const inside: Inside[] = [];
  for (let i = 0; i + 1 < crossings.length; i += 2) {
    inside.push({ enter: crossings[i]!, leave: crossings[i + 1]! });
  }
  return inside;
}

/** The stretches of a slash inside a closed path that were drawn; none when the line misses it. */
function drawnStretches(path: Path, slash: Slash): Inside[] {
  const drawnMm = distanceMm(slash.from, slash.to);
  return insideStretches(path, lineOf(slash)).filter(({ enter, leave }) => {
    const [low, high] = [enter.alongMm, leave.alongMm];
    const sharedMm = Math.min(high, drawnMm) - Math.max(low, 0);
    return sharedMm >= DRAWN_SHARE * (high - low) || (low <= drawnMm / 2 && high >= drawnMm / 2);
  });
}

/** The motion of the left side against the right one, and how much foam a stretch of the slash gains by it. */
function opening(slash: Slash, inside: readonly Inside[]) {
  const along = unit(minus(slash.to, slash.from))!;
  if (slash.opens === 'parallel') {
    const shift = times(quarterLeft(along), slash.openingMm);
    const step: RigidMotion = { mirrored: false, angleRad: 0, shift };
    return { step, addedMm2: (low: number, high: number) => (high - low) * slash.openingMm };
  }
  const first = inside[0]!.enter;
  const last = inside[inside.length - 1]!.leave;
  const [hinge, open] = slash.opens === 'hinged-from' ? [first, last] : [last, first];
  const reachMm = distanceMm(hinge.point, open.point);
  // The opening is a chord of the circle that the open end runs on.
  const turnRad = 2 * Math.asin(Math.max(-1, Math.min(1, slash.openingMm / (2 * reachMm))));
  const angleRad = turnRad * Math.sign(dot(along, minus(open.point, hinge.point)));
  const step = turnAbout(hinge.point, angleRad);
  const sectorMm2 = (mm: number) => (Math.sin(turnRad) * mm * mm) / 2;
  const addedMm2 = (low: number, high: number) =>
    Math.sign(high - low) *
    Math.sign(slash.openingMm) *
    Math.abs(sectorMm2(high - hinge.alongMm) - sectorMm2(low - hinge.alongMm));
  return { step, addedMm2 };
}

/** A turn about a point, counter-clockwise. */
export function turnAbout(point: PlanePoint, angleRad: number): RigidMotion {
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  return {
    mirrored: false,
    angleRad,
    shift: { x: point.x - c * point.x + s * point.y, y: point.y - s * point.x - c * point.y },
  };
}

/** A slash's chords through a closed outline, in its direction; none when it was drawn beside the piece. */
export function chordsOf(outline: Path, slash: Slash): Chord[] {
  if (distanceMm(slash.from, slash.to) < 1e-6) return [];
  const inside = drawnStretches(outline, slash);
  if (inside.length === 0) return [];
  const line = lineOf(slash);
  const { step, addedMm2 } = opening(slash, inside);
  return inside.map(({ enter, leave }) => ({
    slash,
    line,
    from: enter.point,
    to: leave.point,
    ends: [enter.place, leave.place],
    alongMm: [enter.alongMm, leave.alongMm],
    step,
    addedMm2,
  }));
}

/** Area that a closed path gains where a chord opens it, mm2; the chord counts only between its own ends. */
export function gainMm2(path: Path, { line, alongMm: [first, last], addedMm2 }: Chord): number {
  return insideStretches(path, line).reduce((sum, { enter, leave }) => {
    const [low, high] = [Math.max(enter.alongMm, first), Math.min(leave.alongMm, last)];
    return high > low ? sum + addedMm2(low, high) : sum;
  }, 0);
}
