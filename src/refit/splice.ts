import type { Joint, Path, Segment } from '../geometry/path.ts';
import { lengthAtPlaceMm, placeAtLength, tangentAt } from '../geometry/place.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { subPath } from '../geometry/split-path.ts';
import { dot, minus, plus, times } from '../geometry/vector.ts';
import type { Span } from './changed-spans.ts';

/** The same stretch on the old line and on the new one that takes its place. Lengths along each, mm. */
interface Replacement {
  readonly old: Span;
  readonly fresh: Span;
}

/** Stretches nearer than this along the line meet. */
const MEET_MM = 1e-6;
/** Edges that part by less than this angle (about 20 degrees) run on into each other; more is a corner. */
const SMOOTH_RAD = 0.35;
/** A new edge swings into the old one over this length, mm. */
const SWING_MM = 3;
const SHORTEST_SWING_MM = 0.3;

/**
 * The old closed line with the new one on the given stretches; elsewhere it stays as it was, to the last figure. Where
 * both edges run on into each other the joint is smooth; where they part at an angle, or are made of corners, it is a corner.
 */
export function splice(old: Path, fresh: Path, replacements: readonly Replacement[]): Path {
  if (replacements.length === 0) return old;
  const total = pathLengthMm(old);
  const runs = inOneRun(replacements, total);
  if (runs.length === 1 && runs[0]!.old.toMm - runs[0]!.old.fromMm >= total - MEET_MM) return fresh;
  const parts: Path[] = [];
  runs.forEach((run, i) => {
    const next = runs[(i + 1) % runs.length]!;
    const kept = partOf(old, run.old.toMm, next.old.fromMm);
    const before = partOf(old, runs[(i + runs.length - 1) % runs.length]!.old.toMm, run.old.fromMm);
    parts.push(fitted(partOf(fresh, run.fresh.fromMm, run.fresh.toMm, run), before, kept), kept);
  });
  return closeUp(parts);
}

/** In order along the old line, and those that meet made one, so that the new edge runs through. */
function inOneRun(replacements: readonly Replacement[], totalMm: number): Replacement[] {
  const runs: Replacement[] = [];
  for (const next of [...replacements].sort((a, b) => a.old.fromMm - b.old.fromMm)) {
    const last = runs[runs.length - 1];
    if (last && next.old.fromMm <= last.old.toMm + MEET_MM) runs[runs.length - 1] = followed(last, next);
    else runs.push(next);
  }
  const [first] = runs;
  const last = runs[runs.length - 1]!;
  if (first && first !== last && first.old.fromMm + totalMm <= last.old.toMm + MEET_MM) {
    runs[runs.length - 1] = followed(last, first);
    runs.shift();
  }
  return runs;
}

function followed(first: Replacement, second: Replacement): Replacement {
  const length = ({ fromMm, toMm }: Span) => toMm - fromMm;
  const on = (a: Span, b: Span) => ({ fromMm: a.fromMm, toMm: a.fromMm + length(a) + length(b) });
  return { old: on(first.old, second.old), fresh: on(first.fresh, second.fresh) };
}

/** The part of a closed path between two lengths; one of no length is a mere point when it replaces something (`run`). */
function partOf(path: Path, fromMm: number, toMm: number, run?: Replacement): Path {
  const from = placeAtLength(path, fromMm);
  const part = subPath(path, from, placeAtLength(path, toMm));
  return run && toMm - fromMm < MEET_MM ? { closed: false, start: part.start, segments: [] } : part;
}

const endOf = ({ start, segments }: Path): PlanePoint => segments[segments.length - 1]?.to ?? start;

const directionAtStart = (path: Path) => tangentAt(path, { segment: 0, t: 0 });
const directionAtEnd = (path: Path) => tangentAt(path, { segment: path.segments.length - 1, t: 1 });

/** The new part drawn to the old parts' ends: by a swing that shares their tangents, or by moving its end where there is a corner. */
function fitted(part: Path, before: Path, after: Path): Path {
  const [from, to] = [endOf(before), after.start];
  if (part.segments.length === 0) {
    return { closed: false, start: from, segments: [{ kind: 'line', to, joint: 'corner' }] };
  }
  return withEnd(withStart(part, from, directionAtEnd(before)), to, directionAtStart(after));
}

function isAlong(a: PlanePoint, b: PlanePoint): boolean {
  return dot(a, b) > Math.cos(SMOOTH_RAD);
}

function withStart(part: Path, from: PlanePoint, along: PlanePoint): Path {
  const swing = swingLengthMm(part, 'start');
  const place = placeAtLength(part, swing);
  const rest = swing >= SHORTEST_SWING_MM && subPath(part, place, endPlace(part));
  if (rest && isAlong(along, directionAtStart(part)) && isAlong(along, directionAtStart(rest))) {
    return {
      closed: false,
      start: from,
      segments: [swingTo(from, along, rest.start, directionAtStart(rest), 'smooth'), ...rest.segments],
    };
  }
  const shift = minus(from, part.start);
  const [first, ...others] = part.segments;
  const moved: Segment = first!.kind === 'cubic' ? { ...first!, c1: plus(first!.c1, shift) } : first!;
  return { closed: false, start: from, segments: [moved, ...others] };
}

function withEnd(part: Path, to: PlanePoint, along: PlanePoint): Path {
  const swing = swingLengthMm(part, 'end');
  const head =
    swing >= SHORTEST_SWING_MM &&
    subPath(part, { segment: 0, t: 0 }, placeAtLength(part, pathLengthMm(part) - swing));
  if (head && isAlong(along, directionAtEnd(part)) && isAlong(along, directionAtEnd(head))) {
    const last = head.segments.length - 1;
    const segments = head.segments.map((s, i): Segment => (i === last ? { ...s, joint: 'smooth' } : s));
    return {
      ...head,
      segments: [...segments, swingTo(endOf(head), directionAtEnd(head), to, along, 'smooth')],
    };
  }
  const last = part.segments[part.segments.length - 1]!;
  const shift = minus(to, last.to);
  const moved: Segment =
    last.kind === 'cubic'
      ? { ...last, c2: plus(last.c2, shift), to, joint: 'corner' }
      : { ...last, to, joint: 'corner' };
  return { ...part, segments: [...part.segments.slice(0, -1), moved] };
}

const endPlace = ({ segments }: Path) => ({ segment: segments.length - 1, t: 1 });

/** How much of the part may be swung: up to its nearest corner, and no more than a third. */
function swingLengthMm(part: Path, end: 'start' | 'end'): number {
  const total = pathLengthMm(part);
  const corners = part.segments
    .slice(0, -1)
    .flatMap(({ joint }, segment) => (joint === 'corner' ? [lengthAtPlaceMm(part, { segment, t: 1 })] : []))
    .map((along) => (end === 'start' ? along : total - along));
  return Math.min(SWING_MM, total / 3, ...corners);
}

/** A cubic from one place and direction to another. */
function swingTo(
  from: PlanePoint,
  leaving: PlanePoint,
  to: PlanePoint,
  arriving: PlanePoint,
  joint: Joint,
): Segment {
  const handle = distanceMm(from, to) / 3;
  return {
    kind: 'cubic',
    c1: plus(from, times(leaving, handle)),
    c2: minus(to, times(arriving, handle)),
    to,
    joint,
  };
}

/** New and kept parts in turn, as one closed path. A kept part's end has the joint that its successor's start allows. */
function closeUp(parts: readonly Path[]): Path {
  const segments = parts.flatMap((part, i) => {
    const next = parts[(i + 1) % parts.length]!;
    const last = part.segments.length - 1;
    return part.segments.map((segment, k): Segment => {
      if (k !== last) return segment;
      const runsOn = dot(directionAtEnd(part), directionAtStart(next)) > 1 - 1e-9;
      return { ...segment, to: next.start, joint: runsOn ? 'smooth' : 'corner' };
    });
  });
  return { closed: true, start: parts[0]!.start, segments };
}
