import { segmentLengthsMm } from '../../geometry/arc-length.ts';
import { crossingsOf } from '../../geometry/cut-by-line.ts';
import { fitSmoothRun } from '../../geometry/fit-smooth-run.ts';
import { mover, type RigidMotion } from '../../geometry/motion.ts';
import { mapPath, type Path, type Segment } from '../../geometry/path.ts';
import { lengthAtPlaceMm, type Place, placeAtLength, pointAt, tangentAt } from '../../geometry/place.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { samplePath } from '../../geometry/sample-path.ts';
import { startAt, subPath } from '../../geometry/split-path.ts';
import { dot, minus, plus, times, unit } from '../../geometry/vector.ts';
import { type CutPiece, cellAt } from './cells.ts';
import type { Chord } from './slash.ts';

/** Trued stretches are refitted this closely, mm: a tenth of a cutting line. */
const REFIT_TOLERANCE_MM = 0.01;
const SAMPLE_MM = 1.5;
const FEWEST_SAMPLES = 24;

/** A place where a line passes from one moving part to the next. */
export interface Passage {
  readonly alongMm: number;
  readonly before: RigidMotion;
  readonly after: RigidMotion;
}

export interface CarriedLine {
  readonly path: Path;
  /** Largest local stretch (above zero) and squeeze (below) where the line was trued, as shares; at -1 and below the line runs backwards. */
  readonly largestStretch: number;
  readonly largestSqueeze: number;
}

const UNCHANGED = { largestStretch: 0, largestSqueeze: 0 };

/** Where a line other than the outline crosses the chords. */
export function passagesOf(path: Path, cut: CutPiece): Passage[] {
  const places = cut.chords.flatMap((chord) => crossedPlaces(path, chord));
  places.sort((a, b) => a.segment - b.segment || a.t - b.t);
  if (places.length === 0) return [];
  const lengths = segmentLengthsMm(path);
  const totalMm = lengths.reduce((sum, length) => sum + length, 0);
  const along = places.map((place) => lengthAtPlaceMm(path, place));
  const cellBetween = (fromMm: number, toMm: number) =>
    cut.cells[cellAt(cut, pointAt(path, placeAtLength(path, (fromMm + toMm) / 2, lengths)))]!.motion;
  return along.flatMap((alongMm, i): Passage[] => {
    const beforeMm = along[i - 1] ?? (path.closed ? along[along.length - 1]! - totalMm : 0);
    const afterMm = along[i + 1] ?? (path.closed ? along[0]! + totalMm : totalMm);
    const [before, after] = [cellBetween(beforeMm, alongMm), cellBetween(alongMm, afterMm)];
    return before === after ? [] : [{ alongMm, before, after }];
  });
}

function crossedPlaces(path: Path, { line, alongMm: [low, high] }: Chord): Place[] {
  return crossingsOf(path, line)
    .filter(({ alongMm }) => alongMm >= low && alongMm <= high)
    .map(({ place }) => place);
}

/** Where the outline itself passes from cell to cell. */
export function outlinePassages(outline: Path, cut: CutPiece): Passage[] {
  return cut.ends.map(({ place, cellBefore, cellAfter }) => ({
    alongMm: lengthAtPlaceMm(outline, place),
    before: cut.cells[cellBefore]!.motion,
    after: cut.cells[cellAfter]!.motion,
  }));
}

/** The stretch of a line that is trued about a passage. */
interface Blend extends Passage {
  readonly fromMm: number;
  readonly toMm: number;
}

/** Each passage with the stretch trued about it: `reachMm` to either side, at most half the way to the next and never past an end. */
function blendsOf(path: Path, passages: readonly Passage[], totalMm: number, reachMm: number): Blend[] {
  return passages.map((passage, i) => {
    const before = passages[i - 1]?.alongMm ?? (path.closed ? passages.at(-1)!.alongMm - totalMm : undefined);
    const after = passages[i + 1]?.alongMm ?? (path.closed ? passages[0]!.alongMm + totalMm : undefined);
    const { alongMm } = passage;
    const room = [
      before === undefined ? alongMm : (alongMm - before) / 2,
      after === undefined ? totalMm - alongMm : (after - alongMm) / 2,
    ];
    return {
      ...passage,
      fromMm: alongMm - Math.min(reachMm, room[0]!),
      toMm: alongMm + Math.min(reachMm, room[1]!),
    };
  });
}

/**
 * A line carried by the parts of an opened piece: it moves rigidly with them, and about each place where it passes from
 * one to the next it is trued over `reachMm` to either side: turned gradually, and drawn out gradually, so that what was
 * smooth stays smooth and corners stay corners. A straight line that runs along the opening stays straight.
 */
export function carryLine(
  path: Path,
  passages: readonly Passage[],
  still: RigidMotion,
  reachMm: number,
): CarriedLine {
  if (passages.length === 0) return { path: mapPath(path, mover(still)), ...UNCHANGED };
  const lengths = segmentLengthsMm(path);
  const totalMm = lengths.reduce((sum, length) => sum + length, 0);
  const blends = blendsOf(path, passages, totalMm, reachMm);
  const placeAt = (mm: number) => placeAtLength(path, mm, lengths);
  const rigid = (fromMm: number, toMm: number, motion: RigidMotion) =>
    toMm - fromMm > 1e-9
      ? mapPath(subPath(path, placeAt(fromMm), placeAt(toMm)), mover(motion)).segments
      : [];
  const segments: Segment[] = [];
  let [largestStretch, largestSqueeze] = [0, 0];
  const first = blends[0]!;
  if (!path.closed) segments.push(...rigid(0, first.fromMm, first.before));
  blends.forEach((blend, i) => {
    const trued = trueAbout(subPath(path, placeAt(blend.fromMm), placeAt(blend.toMm)), blend);
    segments.push(...trued.segments);
    largestStretch = Math.max(largestStretch, trued.stretch);
    largestSqueeze = Math.min(largestSqueeze, trued.squeeze);
    const next = blends[i + 1];
    const endMm = next?.fromMm ?? (path.closed ? first.fromMm + totalMm : totalMm);
    segments.push(...rigid(blend.toMm, endMm, blend.after));
  });
  const start = mover(first.before)(path.closed ? pointAt(path, placeAt(first.fromMm)) : path.start);
  const joined: Path = { closed: path.closed, start, segments: closeExactly(path, start, segments) };
  const started = path.closed ? startNear(joined, path, blends) : joined;
  return { path: mergeStraights(started), largestStretch, largestSqueeze };
}

/** The last point of a closed line is its first one, to the bit. */
function closeExactly({ closed }: Path, start: PlanePoint, segments: readonly Segment[]): Segment[] {
  if (!closed) return [...segments];
  return segments.map((segment, i) => (i === segments.length - 1 ? { ...segment, to: start } : segment));
}

/** Starts the carried outline where the former one started, if that point was carried rigidly. */
function startNear(carried: Path, former: Path, blends: readonly Blend[]): Path {
  const first = blends[0]!;
  const isTrued = blends.some(({ fromMm, toMm }) => fromMm < 0 || (fromMm <= 0 && toMm >= 0));
  if (isTrued) return carried;
  const start = mover(first.before)(former.start);
  const index = carried.segments.findIndex(({ to }) => distanceMm(to, start) < 1e-6);
  return index < 0 || index === carried.segments.length - 1
    ? carried
    : startAt(carried, { segment: index + 1, t: 0 });
}

/** Rises from 0 to 1 with level ends. */
const levelRamp = (u: number) => u * u * (3 - 2 * u);
const levelRampSlope = (u: number) => 6 * u * (1 - u);

function turned({ x, y }: PlanePoint, angleRad: number): PlanePoint {
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  return { x: c * x - s * y, y: s * x + c * y };
}

/** A point of the trued stretch, where it lay and where it lies. */
interface Trued {
  readonly from: PlanePoint;
  to: PlanePoint;
  readonly u: number;
}

/** Runs from corner to corner of an open path. */
function smoothRuns(path: Path): { readonly run: Path; readonly joint: Segment['joint'] }[] {
  const runs: { run: Path; joint: Segment['joint'] }[] = [];
  let [start, segments]: [PlanePoint, Segment[]] = [path.start, []];
  path.segments.forEach((segment, i) => {
    segments.push(segment);
    if (segment.joint !== 'corner' && i + 1 < path.segments.length) return;
    runs.push({ run: { closed: false, start, segments }, joint: segment.joint });
    [start, segments] = [segment.to, []];
  });
  return runs;
}

/** The stretch bent from its motion before into its motion after, refitted between its corners. */
function trueAbout(path: Path, { before, after }: Passage) {
  const totalMm = segmentLengthsMm(path).reduce((sum, length) => sum + length, 0);
  const spacing = Math.min(SAMPLE_MM, totalMm / FEWEST_SAMPLES);
  const turnRad = after.angleRad - before.angleRad;
  const angleAt = (u: number) => before.angleRad + turnRad * u;

  // First the turning: each little step is turned by its own share.
  let [passedMm, at] = [0, mover(before)(path.start)];
  const runs = smoothRuns(path).map(({ run, joint }) => {
    const samples = samplePath(run, spacing);
    const points = samples.map(({ point, alongMm }, i): Trued => {
      const u = (passedMm + alongMm) / totalMm;
      const former = samples[i - 1];
      if (former) {
        const middle = (passedMm + (alongMm + former.alongMm) / 2) / totalMm;
        at = plus(at, turned(minus(point, former.point), angleAt(middle)));
      }
      return { from: point, to: at, u };
    });
    passedMm += samples[samples.length - 1]!.alongMm;
    return { run, joint, points };
  });

  // Then the opening: what is left to the motion after is drawn in with level ends.
  const end = path.segments[path.segments.length - 1]!.to;
  const left = minus(mover(after)(end), at);
  for (const { points } of runs)
    for (const point of points) point.to = plus(point.to, times(left, levelRamp(point.u)));

  const directionAt = (tangent: PlanePoint, u: number) =>
    unit(plus(turned(tangent, angleAt(u)), times(left, levelRampSlope(u) / totalMm)));
  let [stretch, squeeze] = [0, 0];
  const segments = runs.flatMap(({ run, joint, points }) => {
    const last = run.segments.length - 1;
    const local = localStretch(points, angleAt);
    stretch = Math.max(stretch, local.most);
    squeeze = Math.min(squeeze, local.least);
    return fitSmoothRun(
      points.map(({ to }) => to),
      {
        start: directionAt(tangentAt(run, { segment: 0, t: 0 }), points[0]!.u),
        end: directionAt(tangentAt(run, { segment: last, t: 1 }), points[points.length - 1]!.u),
      },
      REFIT_TOLERANCE_MM,
      joint,
    );
  });
  return { segments, stretch, squeeze };
}

function localStretch(points: readonly Trued[], angleAt: (u: number) => number) {
  let [most, least] = [0, 0];
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!];
    const formerly = minus(b.from, a.from);
    const now = minus(b.to, a.to);
    const lengthMm = Math.hypot(formerly.x, formerly.y);
    if (!(lengthMm > 1e-9)) continue;
    const runsOn = dot(now, turned(formerly, angleAt(b.u))) >= 0;
    const share = ((runsOn ? 1 : -1) * Math.hypot(now.x, now.y)) / lengthMm - 1;
    most = Math.max(most, share);
    least = Math.min(least, share);
  }
  return { most, least };
}

/** Straight segments that run on in one direction become one: a straight edge that was opened is still one edge. */
function mergeStraights(path: Path): Path {
  const segments: Segment[] = [];
  let from = path.start;
  for (const segment of path.segments) {
    const former = segments[segments.length - 1];
    const start = segments.length > 1 ? segments[segments.length - 2]!.to : path.start;
    if (
      former?.kind === 'line' &&
      segment.kind === 'line' &&
      former.joint === 'smooth' &&
      isStraightOn(start, from, segment.to)
    ) {
      segments[segments.length - 1] = segment;
    } else segments.push(segment);
    from = segment.to;
  }
  return { ...path, segments };
}

function isStraightOn(a: PlanePoint, b: PlanePoint, c: PlanePoint): boolean {
  const [first, second] = [unit(minus(b, a)), unit(minus(c, b))];
  if (!first || !second) return true;
  return (
    first.x * second.x + first.y * second.y > 0 && Math.abs(first.x * second.y - first.y * second.x) < 1e-9
  );
}
