import { crossingsOf } from '../geometry/cut-by-line.ts';
import { reachBesideLine } from '../geometry/extent.ts';
import type { StraightLine } from '../geometry/motion.ts';
import { nearestOnPath } from '../geometry/nearest.ts';
import type { Path } from '../geometry/path.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { smallestBox } from '../geometry/smallest-box.ts';
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { subPath } from '../geometry/split-path.ts';
import { directionOf, times } from '../geometry/vector.ts';

/** The line that goes round the head: straight across the piece, or along its edge between two points on it. */
export interface WrapLine {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly along: 'straight' | 'edge';
  /** Which way round the outline, along its edge; the shorter one when left out. */
  readonly way?: 'shorter' | 'longer';
}

/** Chords tried when a wrap line is suggested. */
const CHORD_COUNT = 199;
/** A chord this much shorter than the longest still counts as longest: the middle one of such is then best. */
const CHORD_SLACK = 0.005;

/**
 * The wrap line as a path on the piece. Along the edge it runs between the places nearest to its two ends, the
 * shorter way round the outline unless the longer one is chosen.
 */
export function wrapPath(outline: Path, { from, to, along, way = 'shorter' }: WrapLine): Path {
  const straight: Path = { closed: false, start: from, segments: [{ kind: 'line', to, joint: 'corner' }] };
  if (along === 'straight') return straight;
  const a = nearestOnPath(outline, from);
  const b = nearestOnPath(outline, to);
  if (distanceMm(a.point, b.point) < 1e-6) return { ...straight, start: a.point, segments: [] };
  if (!outline.closed) {
    const [first, last] = a.alongMm <= b.alongMm ? [a, b] : [b, a];
    return subPath(outline, first.place, last.place);
  }
  const ways = [subPath(outline, a.place, b.place), subPath(outline, b.place, a.place)];
  const [shorter, longer] = ways.sort((p, q) => pathLengthMm(p) - pathLengthMm(q));
  return way === 'longer' ? longer! : shorter!;
}

/** Length of the wrap line on the piece, mm. */
export function measureWrapMm(outline: Path, line: WrapLine): number {
  return pathLengthMm(wrapPath(outline, line));
}

/** Direction of the wrap line's chord, rad. */
export function wrapAngleRad({ from, to }: WrapLine): number {
  return Math.atan2(to.y - from.y, to.x - from.x);
}

/** The longest stretch of a straight line that lies inside the closed outline. */
function longestChord(outline: Path, line: StraightLine): WrapLine | undefined {
  const crossings = [...crossingsOf(outline, line)].sort((a, b) => a.alongMm - b.alongMm);
  let best: WrapLine | undefined;
  for (let i = 0; i + 1 < crossings.length; i += 2) {
    const chord: WrapLine = { from: crossings[i]!.point, to: crossings[i + 1]!.point, along: 'straight' };
    if (!best || distanceMm(chord.from, chord.to) > distanceMm(best.from, best.to)) best = chord;
  }
  return best;
}

/** The longest run of neighbouring `true`s, as first and last index. */
function longestRun(flags: readonly boolean[]): readonly [number, number] {
  let best: [number, number] = [0, -1];
  let first = 0;
  flags.forEach((flag, i) => {
    if (!flag) first = i + 1;
    else if (i - first > best[1] - best[0]) best = [first, i];
  });
  return best;
}

/**
 * A sensible first wrap line: the longest straight line inside the outline, at right angles to the fold axis
 * when there is one, else along the smallest box that holds the piece; where many are equally long, the
 * middle one. It runs from left to right. Undefined for an outline with no inside.
 */
export function suggestWrapLine(outline: Path, axis?: StraightLine): WrapLine | undefined {
  const acrossRad = axis ? axis.angleRad - Math.PI / 2 : smallestBox(outline).longRad;
  const away = directionOf(acrossRad + Math.PI / 2);
  const { lowMm, highMm } = reachBesideLine(outline, { point: { x: 0, y: 0 }, angleRad: acrossRad });
  const chords = Array.from({ length: CHORD_COUNT }, (_, i) => {
    const point = times(away, lowMm + ((i + 1) / (CHORD_COUNT + 1)) * (highMm - lowMm));
    return longestChord(outline, { point, angleRad: acrossRad });
  });
  const lengths = chords.map((chord) => (chord ? distanceMm(chord.from, chord.to) : 0));
  const longest = Math.max(...lengths);
  const [first, last] = longestRun(
    lengths.map((length) => length > 0 && length >= longest * (1 - CHORD_SLACK)),
  );
  const best = chords[Math.floor((first + last) / 2)];
  if (!best) return undefined;
  return best.from.x <= best.to.x ? best : { ...best, from: best.to, to: best.from };
}
