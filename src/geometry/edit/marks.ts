import type { LineKind, PieceLine } from '../line-kinds.ts';
import { pathAreaMm2 } from '../measure.ts';
import { movePath, type RigidMotion } from '../motion.ts';
import { type Path, polylinePath } from '../path.ts';
import { lengthAtPlaceMm, type Place, placeAtLength, pointAt } from '../place.ts';
import type { PlanePoint } from '../point.ts';
import { directionOf, plus, times } from '../vector.ts';
import { headingAt } from './heading.ts';

/** Notches are this far apart where there are two (common practice, no source). */
const NOTCH_GAP_MM = 4;
/** Width of a centre mark's foot as a share of its depth. */
const CENTRE_SHARE = 0.8;
/** Mean width of a letter as a share of its size, for the length of the line under the words. */
const LETTER_SHARE = 0.55;

/** Into the foam at a place of an edge, length one: whichever way round the line runs. Beside an open line, to its left. */
function intoFoam(path: Path, kind: LineKind, place: Place): PlanePoint {
  const heading = headingAt(path, place);
  const right = { x: heading.y, y: -heading.x };
  if (!path.closed) return times(right, -1);
  const isInsideLeft = pathAreaMm2(path) >= 0;
  const isFoamLeft = kind === 'cutout' ? !isInsideLeft : isInsideLeft;
  return isFoamLeft ? times(right, -1) : right;
}

/**
 * Notches on an edge, as short lines from it square into the foam: one, or two astride the place (by custom one means
 * front and two back: FACTS section 7).
 */
export function notchPaths(
  { path, kind }: Pick<PieceLine, 'path' | 'kind'>,
  place: Place,
  depthMm: number,
  count: 1 | 2,
): Path[] {
  const along = lengthAtPlaceMm(path, place);
  const shifts = count === 1 ? [0] : [-NOTCH_GAP_MM / 2, NOTCH_GAP_MM / 2];
  return shifts.map((shift) => {
    const at = count === 1 ? place : placeAtLength(path, along + shift);
    const foot = pointAt(path, at);
    return polylinePath([foot, plus(foot, times(intoFoam(path, kind, at), depthMm))], false);
  });
}

/** A centre mark: a triangle whose tip stands exactly on the edge, its foot in the foam. */
export function centreMarkPath(
  { path, kind }: Pick<PieceLine, 'path' | 'kind'>,
  place: Place,
  depthMm: number,
): Path {
  const tip = pointAt(path, place);
  const foot = plus(tip, times(intoFoam(path, kind, place), depthMm));
  const half = times(headingAt(path, place), (depthMm * CENTRE_SHARE) / 2);
  return polylinePath([tip, plus(foot, half), plus(foot, times(half, -1))], true);
}

/** The place half-way, by length, between two places of a line in its own direction; round a closed one if need be. */
export function middleBetween(path: Path, from: Place, to: Place, totalMm: number): Place {
  const [start, end] = [lengthAtPlaceMm(path, from), lengthAtPlaceMm(path, to)];
  const way = end > start || !path.closed ? end - start : end - start + totalMm;
  return placeAtLength(path, start + way / 2);
}

/** The line that words stand on: from `at`, in the direction given, about as long as they are. */
export function wordsPath(at: PlanePoint, words: string, sizeMm: number, angleRad = 0): Path {
  const length = Math.max(1, words.length) * sizeMm * LETTER_SHARE;
  return polylinePath([at, plus(at, times(directionOf(angleRad), length))], false);
}

/** The outline of another piece, true to scale, moved to where it is glued on. */
export function placementPaths(other: readonly PieceLine[], motion: RigidMotion): Path[] {
  return other.filter(({ kind }) => kind === 'cut').map(({ path }) => movePath(path, motion));
}
