import type { PieceLine } from '../../geometry/line-kinds.ts';
import { flattenPath, isInside } from '../../geometry/measure.ts';
import { mover } from '../../geometry/motion.ts';
import { mapPath, type Path } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { pathFaults } from '../../geometry/path-faults.ts';
import { samplePath } from '../../geometry/sample-path.ts';
import { failure, type Outcome, success } from '../../outcome.ts';
import { cutLineOf, type PieceSizes, sizesOf } from '../scale-piece.ts';
import type { WrapLine } from '../wrap-line.ts';
import { carryLine, outlinePassages, passagesOf } from './carry-line.ts';
import { cellAt, chordsCross, type CutPiece, cutPiece, meanMotion } from './cells.ts';
import { type Chord, chordsOf, gainMm2, type Slash } from './slash.ts';

export type SpreadErrorCode =
  | 'no-outline'
  | 'no-slash'
  | 'line-misses'
  | 'lines-cross'
  | 'no-room'
  | 'crosses-itself';

export interface SpreadPiece {
  readonly before: PieceSizes;
  readonly after: PieceSizes;
  readonly lines: readonly PieceLine[];
  readonly wrapLine: WrapLine;
  /** Largest local stretch and squeeze of any line where it was trued over an opening, as shares (0.2 = 20 %). */
  readonly largestStretch: number;
  readonly largestSqueeze: number;
  /** Foam that the openings themselves add, mm2; the rest of the change of area comes from truing the edges. */
  readonly openedMm2: number;
  readonly chords: readonly Chord[];
  /** Where a point of the piece goes, by the part that it lies on. */
  readonly move: (point: PlanePoint) => PlanePoint;
}

export interface SpreadOptions {
  /** Lines that keep shape and size and move as a whole, e.g. an eye opening. */
  readonly keptIds?: ReadonlySet<string>;
  /** How far to either side of an opening the edges are trued, mm; four times the opening when left out. */
  readonly reachMm?: number;
}

const REACH_PER_OPENING = 4;
const LEAST_REACH_MM = 8;
/** A line lapped this far would run backwards where it is trued. */
const TIGHTEST_SQUEEZE = -0.85;
const KEPT_SAMPLE_MM = 1;

/** True for closed lines that are openings of the piece. */
const isOpening = ({ kind, path }: PieceLine) => kind === 'cutout' && path.closed;

/**
 * Slash and spread: the piece is cut at each slash and its parts move apart (or lap), as rigid as paper; every line is
 * carried along and trued over the openings. Kept lines move as a whole. Lines in mm; the input stays as it is.
 */
export function spreadPiece(
  lines: readonly PieceLine[],
  wrapLine: WrapLine,
  slashes: readonly Slash[],
  options: SpreadOptions = {},
): Outcome<SpreadPiece, SpreadErrorCode> {
  const outline = cutLineOf(lines);
  if (!outline)
    return failure(
      'no-outline',
      'This piece has no closed cut line, so it cannot be opened. Trace it first.',
    );
  const chords = chordsThrough(outline, slashes);
  if (!chords.ok) return chords;

  const cut = cutPiece(outline, chords.value);
  const widestMm = Math.max(...slashes.map(({ openingMm }) => Math.abs(openingMm)));
  const reachMm = options.reachMm ?? Math.max(LEAST_REACH_MM, REACH_PER_OPENING * widestMm);
  const carried = lines.map((line) => carriedLine(line, outline, cut, options.keptIds, reachMm));
  const largestSqueeze = Math.min(0, ...carried.map((line) => line.largestSqueeze));
  if (largestSqueeze < TIGHTEST_SQUEEZE)
    return failure(
      'no-room',
      'The piece is lapped further than the edge between its lines has room for, so the edge would fold back. Lap it less, or move the lines apart.',
    );
  const newLines = carried.map(({ line }) => line);
  const newOutline = cutLineOf(newLines)!;
  if (
    pathFaults(newOutline).some(({ code }) => code === 'crosses-itself') ||
    leavesThePiece(newLines, newOutline)
  )
    return failure(
      'crosses-itself',
      'Opened like this, parts of the piece would lie over each other, so it could not be cut. Open it less, or draw the lines elsewhere.',
    );
  const newWrapLine = movedEnds(wrapLine, cut);
  return success({
    before: sizesOf(lines, outline, wrapLine),
    after: sizesOf(newLines, newOutline, newWrapLine),
    lines: newLines,
    wrapLine: newWrapLine,
    largestStretch: Math.max(0, ...carried.map((line) => line.largestStretch)),
    largestSqueeze,
    openedMm2: openedMm2(outline, lines, cut.chords, options.keptIds),
    chords: cut.chords,
    move: (point) => mover(cut.cells[cellAt(cut, point)]!.motion)(point),
  });
}

/** The chords of all slashes, none missing the piece and none crossing another. */
function chordsThrough(
  outline: Path,
  slashes: readonly Slash[],
): Outcome<readonly Chord[], 'no-slash' | 'line-misses' | 'lines-cross'> {
  if (slashes.length === 0)
    return failure(
      'no-slash',
      'No line is drawn yet, so nothing opens. Draw a line across the piece, from edge to edge.',
    );
  const chords: Chord[] = [];
  for (const [index, slash] of slashes.entries()) {
    const own = chordsOf(outline, slash);
    if (own.length === 0)
      return failure(
        'line-misses',
        `Line ${index + 1} does not cross the piece, so nothing opens there. Draw it from edge to edge.`,
      );
    if (chords.some((chord) => own.some((each) => chordsCross(chord, each))))
      return failure(
        'lines-cross',
        `Line ${index + 1} crosses or touches another one, so the parts between them cannot move apart as paper does. Move the lines apart, or open first one, then the other.`,
      );
    chords.push(...own);
  }
  return success(chords);
}

function carriedLine(
  line: PieceLine,
  outline: Path,
  cut: CutPiece,
  keptIds: ReadonlySet<string> | undefined,
  reachMm: number,
) {
  const { path } = line;
  const points = () => samplePath(path, KEPT_SAMPLE_MM).map(({ point }) => point);
  if (keptIds?.has(line.id) || liesAlong(path, cut.chords)) {
    const moved = mapPath(path, mover(meanMotion(cut, points())));
    return { line: { ...line, path: moved }, largestStretch: 0, largestSqueeze: 0 };
  }
  const passages = path === outline ? outlinePassages(path, cut) : passagesOf(path, cut);
  const still = passages.length === 0 ? cut.cells[cellAt(cut, middleOf(path))]!.motion : passages[0]!.before;
  const { path: moved, ...stretches } = carryLine(path, passages, still, reachMm);
  return { line: { ...line, path: moved }, ...stretches };
}

/** A point of a line, away from its ends, which may lie on the outline. */
function middleOf(path: Path) {
  const points = samplePath(path, KEPT_SAMPLE_MM);
  return points[Math.floor(points.length / 2)]!.point;
}

/** A line that is the slash itself (a fold line, say) belongs to both sides alike. */
function liesAlong(path: Path, chords: readonly Chord[]): boolean {
  const points = samplePath(path, KEPT_SAMPLE_MM);
  return chords.some(({ line: { point, angleRad } }) => {
    const [s, c] = [Math.sin(angleRad), Math.cos(angleRad)];
    return points.every(({ point: p }) => Math.abs((p.y - point.y) * c - (p.x - point.x) * s) < 0.3);
  });
}

/** True when an opening of the piece would reach over its edge. */
function leavesThePiece(lines: readonly PieceLine[], outline: Path): boolean {
  const polygon = flattenPath(outline, 0.02);
  return lines.some(
    (line) => isOpening(line) && flattenPath(line.path, 0.1).some((point) => !isInside(point, polygon)),
  );
}

function movedEnds(wrapLine: WrapLine, cut: CutPiece): WrapLine {
  const move = (point: WrapLine['from']) => mover(cut.cells[cellAt(cut, point)]!.motion)(point);
  return { ...wrapLine, from: move(wrapLine.from), to: move(wrapLine.to) };
}

/** What the openings add to the foam: across the outline, less what falls into openings that open with it. */
function openedMm2(
  outline: Path,
  lines: readonly PieceLine[],
  chords: readonly Chord[],
  keptIds: ReadonlySet<string> | undefined,
): number {
  const opened = lines.filter((line) => isOpening(line) && !keptIds?.has(line.id));
  return chords.reduce(
    (sum, chord) =>
      sum + gainMm2(outline, chord) - opened.reduce((holes, { path }) => holes + gainMm2(path, chord), 0),
    0,
  );
}
