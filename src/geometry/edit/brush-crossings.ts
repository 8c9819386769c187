import type { Path, Segment } from '../path.ts';
import { type Place, pointAt, segmentOf, segmentStart } from '../place.ts';
import { distanceMm, type PlanePoint } from '../point.ts';
import { segmentDirection, segmentPoint } from '../segment.ts';
import { dot, plus, quarterLeft, times } from '../vector.ts';
import type { Brush } from './brush.ts';

/**
 * Within this of the brush's edge, mm, and this nearly along it, a line counts as running on the edge, as it does where
 * the same stroke was painted before: its side then tells, and not the noise of two curves that nearly agree.
 */
const BAND_MM = 0.015;
const ALONG_RAD = 0.2;
/** So far to its side, mm. */
const BESIDE_MM = 0.02;
/** A line is followed under the brush's edge in steps no longer than this, mm. */
const STEP_MM = 0.04;
/** The exact crossing is looked for this many steps about the one found beside the line. */
const MOST_STEPS = 15;
/** A crossing this near to the brush's edge lies on it; one this near to a joint is the joint, mm. */
export const EXACT_MM = 2e-5;
const JOINT_MM = 1e-3;
const BISECTIONS = 48;

/** Where a line passes under the edge of the brush. */
export interface Crossing {
  /** The place as one number: the segment's index and t. The line's start is 0 or the count of its segments. */
  readonly station: number;
  readonly place: Place;
  readonly at: PlanePoint;
  /** True where the line, in its own direction, passes from the open under the brush. */
  readonly enters: boolean;
  /** The place on the brush's edge. */
  readonly ring: number;
  readonly alongMm: number;
}

export interface Coverage {
  /** In order along the line; entering and leaving take turns. */
  readonly crossings: readonly Crossing[];
  /** Whether the brush covers the line's start. */
  readonly isCovered: boolean;
}

type Side = 'left' | 'right';

/** A place as one number: the segment's index and t. */
type Station = number;

const placeOf = ({ segments: { length } }: Path, station: Station): Place => {
  const round = ((station % length) + length) % length;
  const segment = Math.min(length - 1, Math.floor(round));
  return { segment, t: round - segment };
};

interface Change {
  readonly low: Station;
  readonly high: Station;
  readonly enters: boolean;
}

/**
 * Which parts of a closed line the brush covers. On the `side` that is asked lies what the brush would change: the open
 * (to the right) when foam is added, the foam (to the left) when it is taken away.
 */
export function coverageOf(path: Path, brush: Brush, side: Side): Coverage {
  const { changes, isCovered } = changesOf(path, brush, side);
  const rough = changes.map((change) => narrowed(path, brush, side, change));
  const count = path.segments.length;
  const crossings = rough.map((station, i) => {
    const before = i > 0 ? rough[i - 1]! : rough.at(-1)! - count;
    const after = i + 1 < rough.length ? rough[i + 1]! : rough[0]! + count;
    const exact = exactStation(path, brush, station, (station + before) / 2, (station + after) / 2);
    const settled = onJoint(path, exact);
    const place = placeOf(path, settled);
    const at = pointAt(path, place);
    return { station: settled, place, at, enters: changes[i]!.enters, ...brush.nearestOnRings(at) };
  });
  return { crossings, isCovered };
}

/** No part of the segment is longer than its share of this, mm. */
function speedBound(from: PlanePoint, segment: Segment): number {
  if (segment.kind === 'line') return distanceMm(from, segment.to);
  const { c1, c2, to } = segment;
  return 3 * Math.max(distanceMm(from, c1), distanceMm(c1, c2), distanceMm(c2, to));
}

function isFarFrom({ bounds }: Brush, from: PlanePoint, segment: Segment): boolean {
  const { minX, minY, maxX, maxY } = bounds;
  const points = segment.kind === 'line' ? [from, segment.to] : [from, segment.c1, segment.c2, segment.to];
  return (
    points.every(({ x }) => x < minX - BAND_MM) ||
    points.every(({ x }) => x > maxX + BAND_MM) ||
    points.every(({ y }) => y < minY - BAND_MM) ||
    points.every(({ y }) => y > maxY + BAND_MM)
  );
}

/** Whether the brush covers the line here, or on its edge what lies on the line's `side`. */
function isCoveredAt(brush: Brush, side: Side, from: PlanePoint, segment: Segment, t: number): boolean {
  const at = segmentPoint(from, segment, t);
  const clearance = brush.clearanceMm(at);
  if (Math.abs(clearance) > BAND_MM) return clearance < 0;
  const [direction, away] = [segmentDirection(from, segment, t), brush.awayFrom(at)];
  if (!direction || !away || Math.abs(dot(direction, away)) > Math.sin(ALONG_RAD)) return clearance < 0;
  const aside = times(quarterLeft(direction), side === 'left' ? BESIDE_MM : -BESIDE_MM);
  return brush.clearanceMm(plus(at, aside)) < 0;
}

/** The changes from open to covered and back, each between two stations next to each other. */
function changesOf(path: Path, brush: Brush, side: Side): { changes: Change[]; isCovered: boolean } {
  const changes: Change[] = [];
  let first: boolean | undefined;
  let last = { station: 0, covered: false };
  const tell = (station: Station, covered: boolean) => {
    if (first === undefined) first = covered;
    else if (covered !== last.covered) changes.push({ low: last.station, high: station, enters: covered });
    last = { station, covered };
  };
  const follow = (from: PlanePoint, index: number, t0: number, t1: number, sizeMm: number): void => {
    const segment = path.segments[index]!;
    // What is farther from the edge than it is long lies on one side of it.
    const clearance = brush.clearanceMm(segmentPoint(from, segment, (t0 + t1) / 2));
    if (Math.abs(clearance) > sizeMm / 2 + BAND_MM) {
      tell(index + t0, clearance < 0);
      tell(index + t1, clearance < 0);
    } else if (sizeMm <= STEP_MM) {
      for (const t of [t0, t1]) tell(index + t, isCoveredAt(brush, side, from, segment, t));
    } else {
      const middle = (t0 + t1) / 2;
      follow(from, index, t0, middle, sizeMm / 2);
      follow(from, index, middle, t1, sizeMm / 2);
    }
  };
  path.segments.forEach((segment, index) => {
    const from = segmentStart(path, index);
    if (isFarFrom(brush, from, segment)) {
      tell(index, false);
      tell(index + 1, false);
    } else follow(from, index, 0, 1, speedBound(from, segment));
  });
  const isCovered = first ?? false;
  if (last.covered !== isCovered) {
    const end = path.segments.length;
    changes.push({ low: end, high: end, enters: isCovered });
  }
  return { changes, isCovered };
}

/** The change found more narrowly by halving; it lies within one segment, or on a joint. */
function narrowed(path: Path, brush: Brush, side: Side, { low, high, enters }: Change): Station {
  const index = Math.min(path.segments.length - 1, Math.floor(low));
  const [from, segment] = [segmentStart(path, index), segmentOf(path, index)];
  let [a, b] = [low, high];
  for (let i = 0; i < BISECTIONS && b > a; i++) {
    const middle = (a + b) / 2;
    if (isCoveredAt(brush, side, from, segment, middle - index) === enters) b = middle;
    else a = middle;
  }
  return b;
}

/** The crossing of the line itself, found beside it, within the limits; where the two only graze, their nearest place. */
function exactStation(path: Path, brush: Brush, station: Station, least: Station, most: Station): Station {
  const clearance = (at: Station) => brush.clearanceMm(pointAt(path, placeOf(path, at)));
  const start = clearance(station);
  if (Math.abs(start) <= EXACT_MM) return station;
  let best = { station, gap: Math.abs(start) };
  const ways = ([1, -1] as const).map((way) => ({ way, at: station, gap: start, isOn: true }));
  for (let i = 0; i < MOST_STEPS; i++) {
    for (const walk of ways) {
      if (!walk.isOn) continue;
      const next = Math.min(most, Math.max(least, walk.at + walk.way * stepAt(path, walk.at, walk.way)));
      const gap = clearance(next);
      if (gap * walk.gap <= 0) return crossingBetween(clearance, walk.at, next);
      walk.isOn = Math.abs(gap) < Math.abs(walk.gap);
      [walk.at, walk.gap] = [next, gap];
      if (Math.abs(gap) < best.gap) best = { station: next, gap: Math.abs(gap) };
    }
  }
  return best.station;
}

/** How much of a station makes a step, not passing the next joint. */
function stepAt(path: Path, station: Station, way: 1 | -1): number {
  const index = placeOf(path, way > 0 ? station : station - 1e-9).segment;
  const whole = speedBound(segmentStart(path, index), segmentOf(path, index));
  const toJoint = way > 0 ? Math.floor(station) + 1 - station : station - (Math.ceil(station) - 1);
  return Math.min(toJoint, whole > 0 ? STEP_MM / whole : 1);
}

function crossingBetween(clearance: (at: Station) => number, from: Station, to: Station): Station {
  let [a, b] = [from, to];
  const isOutside = clearance(a) > 0;
  for (let i = 0; i < BISECTIONS; i++) {
    const middle = (a + b) / 2;
    if (clearance(middle) > 0 === isOutside) a = middle;
    else b = middle;
  }
  return b;
}

/** A crossing next to a joint is the joint: no crumb of a segment is cut off. */
function onJoint(path: Path, station: Station): Station {
  const joint = Math.round(station);
  const gap = distanceMm(pointAt(path, placeOf(path, station)), pointAt(path, placeOf(path, joint)));
  return gap <= JOINT_MM ? joint : station;
}
