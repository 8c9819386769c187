import type { EditOutcome, JointPick } from '../geometry/edit/edited.ts';
import { onStretch } from '../geometry/edit/stretch-verbs.ts';
import {
  type Move,
  moveBetween,
  pathOfStretch,
  replaceStretch,
  type Stretch,
} from '../geometry/edit/stretch.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { type Path, polylinePath, type Segment } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { samplePath } from '../geometry/sample-path.ts';
import { minus, plus } from '../geometry/vector.ts';
import { cleanPolyline } from './clean-polyline.ts';

export interface CleanedStretch {
  readonly path: Path;
  readonly moved: Move;
}

/** The line is given to the cleaning as finely as a photo gives it, mm. */
const SPACING_MM = 0.3;

/**
 * Cleans a stretch of a line again at another tolerance, mm: corners, straight runs and the fewest cubics within it. Its
 * ends stay. Without a stretch the whole line is cleaned, a closed one all round.
 */
export function cleanStretch(path: Path, stretch: Stretch | undefined, toleranceMm: number): CleanedStretch {
  const before = stretch ? pathOfStretch(path, stretch) : path;
  const points = samplePath(before, SPACING_MM).map(({ point }) => point);
  if (!before.closed) {
    const held = cleanHeld(points, toleranceMm);
    return { path: stretch ? replaceStretch(path, stretch, held) : held, moved: moveBetween(before, held) };
  }
  const { path: cleaned } = cleanPolyline(points, true, toleranceMm);
  if (cleaned.segments.length === 0) return { path, moved: { maxMm: 0, at: path.start } };
  return { path: cleaned, moved: moveBetween(before, cleaned) };
}

/** Cleans an open line through points, mm, that begins and ends just where they do. */
export function cleanHeld(points: readonly PlanePoint[], toleranceMm: number): Path {
  const [start, end] = [points[0]!, points.at(-1)!];
  const { path } = cleanPolyline(points, false, toleranceMm);
  return path.segments.length === 0 ? polylinePath([start, end], false) : withEnds(path, start, end);
}

/** An open path drawn to begin and end exactly here, its end handles along. */
function withEnds(path: Path, start: PlanePoint, end: PlanePoint): Path {
  const first = minus(start, path.start);
  const segments: Segment[] = [...path.segments];
  const head = segments[0]!;
  if (head.kind === 'cubic') segments[0] = { ...head, c1: plus(head.c1, first) };
  const tail = segments.at(-1)!;
  const last = minus(end, tail.to);
  segments[segments.length - 1] =
    tail.kind === 'cubic' ? { ...tail, c2: plus(tail.c2, last), to: end } : { ...tail, to: end };
  return { ...path, start, segments };
}

/** The verb: cleans the picked stretch of a piece's lines again. */
export function cleanPicked(
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
  toleranceMm: number,
): EditOutcome {
  return onStretch(lines, picks, (path, stretch) => {
    const isWhole = path.closed
      ? stretch.from === stretch.to
      : stretch.from === 0 && stretch.to === path.segments.length;
    return cleanStretch(path, isWhole ? undefined : stretch, toleranceMm);
  });
}
