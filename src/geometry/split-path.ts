import type { Joint, Path, Segment } from './path.ts';
import { pointAt, type Place, segmentOf, segmentStart } from './place.ts';
import { distanceMm } from './point.ts';
import { segmentPart } from './segment.ts';

/** Pieces of a segment shorter than this share of t are rounding, not pieces. */
const T_EPSILON = 1e-11;

function isBefore(a: Place, b: Place): boolean {
  return a.segment < b.segment || (a.segment === b.segment && a.t < b.t);
}

/** True for one place told twice, also as the end of one segment and the start of the next. */
function isSamePlace(path: Path, a: Place, b: Place): boolean {
  if (a.segment === b.segment) return Math.abs(a.t - b.t) <= T_EPSILON;
  const isNext = b.segment === (a.segment + 1) % path.segments.length;
  return isNext && a.t >= 1 - T_EPSILON && b.t <= T_EPSILON;
}

/** The places in order along the path, each once. */
function distinctPlaces(path: Path, places: readonly Place[]): Place[] {
  const kept: Place[] = [];
  for (const place of [...places].sort((a, b) => a.segment - b.segment || a.t - b.t)) {
    const before = kept[kept.length - 1];
    if (!before || !isSamePlace(path, before, place)) kept.push(place);
  }
  const [first] = kept;
  const last = kept[kept.length - 1];
  // A closed path's end is its start.
  if (path.closed && first && last && first !== last && isSamePlace(path, last, first)) kept.pop();
  return kept;
}

/** The segments from one place to a later one, not passing the start. */
function segmentsBetween(path: Path, from: Place, to: Place): Segment[] {
  const segments: Segment[] = [];
  for (let i = from.segment; i <= to.segment; i++) {
    const t0 = i === from.segment ? from.t : 0;
    const t1 = i === to.segment ? to.t : 1;
    if (t1 - t0 <= T_EPSILON) continue;
    segments.push(segmentPart(segmentStart(path, i), segmentOf(path, i), t0, t1).segment);
  }
  return segments;
}

/**
 * The part of a path from one place to another, as an open path; control points are those of the curve
 * itself, so nothing moves. On a closed path it runs on past the start when `to` does not come after
 * `from`; two equal places give the whole way round. Throws when an open path is asked backwards.
 */
export function subPath(path: Path, from: Place, to: Place): Path {
  const start = pointAt(path, from);
  if (isBefore(from, to)) return { closed: false, start, segments: segmentsBetween(path, from, to) };
  if (!path.closed) throw new RangeError('an open path has no part that ends before it begins');
  const last = path.segments.length - 1;
  const head = segmentsBetween(path, from, { segment: last, t: 1 });
  const tail = segmentsBetween(path, { segment: 0, t: 0 }, to);
  return { closed: false, start, segments: [...head, ...tail] };
}

/**
 * Splits a path at places (one told twice counts once). A closed path gives as many open parts as there are places, the first one
 * starting at the first place; an open one gives one more. Places at the very ends give no empty parts.
 */
export function splitPath(path: Path, places: readonly Place[]): Path[] {
  const sorted = distinctPlaces(path, places);
  const last = path.segments.length - 1;
  if (path.closed) {
    if (places.length === 0) return [path];
    return sorted
      .map((from, i) => subPath(path, from, sorted[(i + 1) % sorted.length]!))
      .filter(({ segments }) => segments.length > 0);
  }
  const cuts = [{ segment: 0, t: 0 }, ...sorted, { segment: last, t: 1 }];
  return cuts
    .slice(1)
    .flatMap((to, i) => (isBefore(cuts[i]!, to) ? [subPath(path, cuts[i]!, to)] : []))
    .filter(({ segments }) => segments.length > 0);
}

/** The same closed path started at another place. */
export function startAt(path: Path, place: Place): Path {
  if (!path.closed) throw new RangeError('only a closed path may start elsewhere');
  const part = subPath(path, place, place);
  return { ...part, closed: true };
}

function endOf(path: Path): Path['start'] {
  return path.segments[path.segments.length - 1]?.to ?? path.start;
}

function withLastJoint(segments: readonly Segment[], joint: Joint): Segment[] {
  return segments.map((segment, i) => (i === segments.length - 1 ? { ...segment, joint } : segment));
}

/**
 * Joins open paths end to start into one; each meeting is `joint`, or keeps what the part before it says.
 * With `closed` the last one must end where the first starts. Ends up to `gapMm` apart are drawn together
 * (to the later part's start); a wider gap is a programming error and throws.
 */
export function joinPaths(
  parts: readonly Path[],
  { closed = false, joint, gapMm = 1e-6 }: { closed?: boolean; joint?: Joint; gapMm?: number } = {},
): Path {
  const [first] = parts;
  if (!first) throw new RangeError('joinPaths needs at least one part');
  const segments: Segment[] = [];
  parts.forEach((part, i) => {
    const next = i + 1 < parts.length ? parts[i + 1]! : closed ? first : undefined;
    if (!next) return segments.push(...part.segments);
    const gap = distanceMm(endOf(part), next.start);
    if (gap > gapMm)
      throw new RangeError(`parts ${i} and ${i + 1} are ${gap} mm apart, so they cannot be joined`);
    const run = joint ? withLastJoint(part.segments, joint) : part.segments;
    return segments.push(...run.map((s, k) => (k === run.length - 1 ? { ...s, to: next.start } : s)));
  });
  return { closed, start: first.start, segments };
}
