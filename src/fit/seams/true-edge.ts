import { alignSmoothJoints } from '../../geometry/align-smooth.ts';
import { mapPath, type Path } from '../../geometry/path.ts';
import { type Place, pointAt, tangentAt } from '../../geometry/place.ts';
import { distanceMm, midpoint, type PlanePoint } from '../../geometry/point.ts';
import { joinPaths, startAt, subPath } from '../../geometry/split-path.ts';
import { dot, minus, plus, times } from '../../geometry/vector.ts';
import { edgeRuler } from './edge-ruler.ts';
import { CORNER_REACH_MM, cornersOf, edgePath, type SeamEdge, settledPlace } from './seam-edge.ts';

export interface TruedEdge {
  readonly outline: Path;
  readonly edge: SeamEdge;
  /** How far any point of the outline moved, mm. */
  readonly largestMoveMm: number;
  /** Where a corner of the former outline lies now: seams that end at it go along. */
  readonly move: (point: PlanePoint) => PlanePoint;
}

type PointMap = (point: PlanePoint) => PlanePoint;

const NEAR_ENOUGH_MM = 1e-7;
const MOST_ROUNDS = 40;
/** A joint that turns by more than this no longer is smooth, rad. */
const KINK_RAD = 0.002;
/** Places on each segment at which its move is looked at. */
const MOVE_STEPS = 16;

/** A stretch by a factor along the edge's chord about its middle; of an edge that ends where it begins, all ways alike. */
function edgeStretch(edge: Path, factor: number): PointMap {
  const [from, to] = [edge.start, edge.segments[edge.segments.length - 1]!.to];
  const chord = minus(to, from);
  const squared = dot(chord, chord);
  const about = midpoint(from, to);
  if (Math.sqrt(squared) < 1e-6) return (point) => plus(about, times(minus(point, about), factor));
  return (point) => {
    const along = dot(minus(point, about), chord) / squared;
    return plus(point, times(chord, (factor - 1) * along));
  };
}

/** An affine map that takes `moved` to `to`, leaves `still`, and grades what lies between evenly. */
function graded(still: PlanePoint, moved: PlanePoint, to: PlanePoint): PointMap {
  const along = minus(moved, still);
  const squared = dot(along, along);
  const shift = minus(to, moved);
  return (point) => plus(point, times(shift, squared > 0 ? dot(minus(point, still), along) / squared : 1));
}

interface Runs {
  readonly edge: Path;
  /** From the edge's end to the next corner, and from the last corner before it to its start; undefined when none is left. */
  readonly after: Path | undefined;
  readonly rest: Path | undefined;
  readonly before: Path | undefined;
}

const isSame = (a: Place, b: Place, outline: Path) =>
  distanceMm(pointAt(outline, a), pointAt(outline, b)) < 1e-9;

/** The outline in up to four parts: the edge, its two neighbours up to their far corners, and the rest. */
function runsOf(outline: Path, seam: SeamEdge): Runs {
  const [from, to] = [settledPlace(outline, seam.from), settledPlace(outline, seam.to)];
  const edge = subPath(outline, from, to);
  if (isSame(from, to, outline)) return { edge, after: undefined, rest: undefined, before: undefined };
  const order = ({ segment, t }: Place) => segment + t;
  const count = outline.segments.length;
  const behind = (place: Place) => (order(place) - order(to) + count) % count;
  const limit = behind(from);
  const others = cornersOf(outline)
    .filter((corner) => behind(corner) > 1e-9 && behind(corner) < limit - 1e-9)
    .toSorted((a, b) => behind(a) - behind(b));
  const [next, last] = [others[0], others.at(-1)];
  if (!next || !last) return { edge, after: subPath(outline, to, from), rest: undefined, before: undefined };
  return {
    edge,
    after: subPath(outline, to, next),
    rest: isSame(next, last, outline) ? undefined : subPath(outline, next, last),
    before: subPath(outline, last, from),
  };
}

const endOf = (path: Path) => path.segments[path.segments.length - 1]!.to;

/** The outline with its edge stretched by a factor and both neighbours graded to follow. */
function stretched({ edge, after, rest, before }: Runs, factor: number): { outline: Path; move: PointMap } {
  const stretch = edgeStretch(edge, factor);
  // A single run between the edge's ends, or none, follows the whole stretch: both its ends move alike.
  if (!after || !before) {
    const parts = [edge, ...(after ? [after] : [])].map((part) => mapPath(part, stretch));
    return { outline: joinPaths(parts, { closed: true }), move: stretch };
  }
  const follow = graded(endOf(after), after.start, stretch(after.start));
  const lead = graded(before.start, endOf(before), stretch(endOf(before)));
  const parts = [
    mapPath(edge, stretch),
    mapPath(after, follow),
    ...(rest ? [rest] : []),
    mapPath(before, lead),
  ];
  const ends = [edge.start, endOf(edge)];
  const move: PointMap = (point) =>
    ends.some((end) => distanceMm(end, point) <= CORNER_REACH_MM) ? stretch(point) : point;
  return { outline: joinPaths(parts, { closed: true, gapMm: 1e-5 }), move };
}

/** Handles at the edge's two ends brought into one direction where the outline was smooth there. */
function aligned(outline: Path, edgeSegments: number): Path {
  const once = alignSmoothJoints(outline);
  if (once.segments[once.segments.length - 1]!.joint !== 'smooth') return once;
  const turned = startAt(once, { segment: edgeSegments % once.segments.length, t: 0 });
  const back = once.segments.length - edgeSegments;
  return startAt(alignSmoothJoints(turned), { segment: back % once.segments.length, t: 0 });
}

/** Joints between two straight segments that no longer run on are corners from now on. */
function withKinksNamed(outline: Path): Path {
  const count = outline.segments.length;
  const segments = outline.segments.map((segment, i) => {
    if (segment.joint === 'corner') return segment;
    const a = tangentAt(outline, { segment: i, t: 1 });
    const b = tangentAt(outline, { segment: (i + 1) % count, t: 0 });
    const turn = Math.acos(Math.min(1, Math.max(-1, dot(a, b))));
    return turn > KINK_RAD ? { ...segment, joint: 'corner' as const } : segment;
  });
  return { ...outline, segments };
}

/** How far apart two outlines of the same segments lie, mm, point for point. */
function largestMoveMm(former: Path, now: Path): number {
  let largest = 0;
  for (let segment = 0; segment < now.segments.length; segment++) {
    for (let i = 0; i <= MOVE_STEPS; i++) {
      const place = { segment, t: i / MOVE_STEPS };
      largest = Math.max(largest, distanceMm(pointAt(former, place), pointAt(now, place)));
    }
  }
  return largest;
}

/**
 * Trues an edge to a length (mm, taken `insetMm` inside it): stretched along its chord about its middle, with both
 * neighbouring edges graded up to their far corners. Corners stay corners, smooth joints smooth, and cubics cubics.
 * Throws when the length cannot be reached; callers keep it within a fifth.
 */
export function trueEdge(outline: Path, edge: SeamEdge, targetMm: number, insetMm: number): TruedEdge {
  const runs = runsOf(outline, edge);
  const at = (factor: number) => {
    const { outline: raw, move } = stretched(runs, factor);
    const moved = withKinksNamed(aligned(raw, runs.edge.segments.length));
    const ends = { from: moved.start, to: move(endOf(runs.edge)) };
    return {
      outline: moved,
      move,
      edge: ends,
      lengthMm: edgeRuler(edgePath(moved, ends), insetMm, false).lengthMm,
    };
  };
  let [formerFactor, formerMiss] = [1, at(1).lengthMm - targetMm];
  let factor = 1 - formerMiss / targetMm;
  let tried = at(factor);
  for (let round = 0; round < MOST_ROUNDS && Math.abs(tried.lengthMm - targetMm) > NEAR_ENOUGH_MM; round++) {
    const miss = tried.lengthMm - targetMm;
    const slope = (miss - formerMiss) / (factor - formerFactor);
    if (!Number.isFinite(slope) || slope === 0) break;
    [formerFactor, formerMiss] = [factor, miss];
    factor -= miss / slope;
    tried = at(factor);
  }
  if (Math.abs(tried.lengthMm - targetMm) > 1e-3) throw new RangeError(`no edge of ${targetMm} mm was found`);
  return {
    outline: tried.outline,
    edge: tried.edge,
    move: tried.move,
    largestMoveMm: largestMoveMm(stretched(runs, 1).outline, tried.outline),
  };
}
