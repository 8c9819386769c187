import type { PieceLine } from '../geometry/line-kinds.ts';
import { mapPath, type Path } from '../geometry/path.ts';
import {
  alongLineMm,
  footOnLine,
  movePath,
  offsetFromLineMm,
  type RigidMotion,
  reflectionAcross,
} from '../geometry/motion.ts';
import { pathFaults } from '../geometry/path-faults.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { samplePath } from '../geometry/sample-path.ts';
import { failure, type Outcome, type Problem, success } from '../outcome.ts';
import { averageClosedHalves, averageLines, averageOpenHalves } from './average-lines.ts';
import type { FoldLine, Half } from './axis.ts';
import { closedHalf, openHalf } from './half-run.ts';
import { joinMirrored, type RunToMirror } from './join-mirrored.ts';
import { type LineMatch, matchLines } from './match-lines.ts';
import { changesOf, type MendChanges } from './mend-changes.ts';
import { reversePath } from '../geometry/path.ts';

export type MendMode = 'keep-left' | 'keep-right' | 'average';

export type MendErrorCode = 'axis-misses-outline' | 'axis-crossed-often' | 'would-cross-itself';
type MendNoteCode = 'single-mirrored' | 'line-left-alone' | 'pointed-at-axis';
type MendNote = Problem<MendNoteCode>;

export interface Mended extends MendChanges {
  /** The lines in their old order and under their old ids, symmetric about the axis; mirrored copies of single lines follow at the end. */
  readonly lines: readonly PieceLine[];
  /** What the maker should know, in sentences. */
  readonly notes: readonly MendNote[];
}

export interface MendOptions {
  /** A corner this close to the axis, along the line, was meant to be on it, mm. */
  readonly snapMm?: number;
}

const SNAP_MM = 3;
const SPACING_MM = 0.5;

/**
 * Makes a piece symmetric about `axis`: one half replaced by the exact mirror image of the other (the same segments, control
 * points reflected), or both by their average, fitted anew. Lines that cross the axis and left-right pairs are mended alike;
 * a line on one half with nothing like it on the other is kept and mirrored, never dropped. The wrap line stays as it is.
 */
export function mend(
  lines: readonly PieceLine[],
  axis: FoldLine,
  mode: MendMode,
  { snapMm = SNAP_MM }: MendOptions = {},
): Outcome<Mended, MendErrorCode> {
  const outlines = lines.filter(({ kind, path }) => kind === 'cut' && path.closed);
  const trouble = outlineTrouble(outlines, axis);
  if (trouble) return trouble;
  const matches = matchLines(
    // Words are read, not cut: they stay where they were written.
    lines.filter(({ kind, words }) => kind !== 'wrap' && !words),
    axis,
  );
  const mended = new Map<string, PieceLine>();
  const added: PieceLine[] = [];
  const notes: MendNote[] = [];
  for (const match of matches) {
    const result = mendMatch(match, axis, mode, snapMm);
    notes.push(...result.notes);
    for (const line of result.lines) {
      if (lines.some(({ id }) => id === line.id)) mended.set(line.id, line);
      else added.push(line);
    }
  }
  const results = lines.map((line) => mended.get(line.id) ?? line);
  const crossed = results.find(
    ({ kind, path }, i) => kind === 'cut' && crossesItself(path) && !crossesItself(lines[i]!.path),
  );
  if (crossed) {
    return failure(
      'would-cross-itself',
      'Mended this way the outline would cross itself, so it could not be cut. Move the fold axis, or keep the other half.',
    );
  }
  return success({ lines: [...results, ...added], ...changesOf(lines, results), notes });
}

const crossesItself = (path: Path) => pathFaults(path).some(({ code }) => code === 'crosses-itself');

function outlineTrouble(
  outlines: readonly PieceLine[],
  axis: FoldLine,
): { readonly ok: false; readonly problem: Problem<MendErrorCode> } | undefined {
  const meets = outlines.map(({ path }) => closedHalf(path, axis, 'left', 0) !== undefined);
  if (meets.some(Boolean)) return undefined;
  const misses = outlines.every(({ path }) => isBesideAxis(path, axis));
  return misses
    ? failure(
        'axis-misses-outline',
        'The fold axis does not cross the outline, so there are no two halves to mend. Move the axis onto the piece.',
      )
    : failure(
        'axis-crossed-often',
        'The outline crosses the fold axis more than twice, so it has no plain left and right half. Move or turn the axis, or straighten the edge that runs along it.',
      );
}

function isBesideAxis(path: Path, axis: FoldLine): boolean {
  const offsets = samplePath(path, SPACING_MM * 4).map(({ point }) => offsetFromLineMm(axis, point));
  return Math.min(...offsets) >= 0 || Math.max(...offsets) <= 0;
}

interface MendedMatch {
  readonly lines: readonly PieceLine[];
  readonly notes: readonly MendNote[];
}

function mendMatch(match: LineMatch, axis: FoldLine, mode: MendMode, snapMm: number): MendedMatch {
  if (match.kind === 'own') return mendOwn(match.line, axis, mode, snapMm);
  const reflection = reflectionAcross(axis);
  if (match.kind === 'pair') return { lines: mendPair(match.left, match.right, reflection, mode), notes: [] };
  const { line, half } = match;
  const other = half === 'left' ? 'right' : 'left';
  return {
    lines: [line, { ...line, id: `${line.id}-mirrored`, path: movePath(line.path, reflection) }],
    notes: [
      {
        code: 'single-mirrored',
        message: `A ${line.kind} line lies on the ${half} half only, so it was kept and a mirrored copy was added on the ${other}. Delete the one you do not want.`,
      },
    ],
  };
}

function mendPair(left: PieceLine, right: PieceLine, reflection: RigidMotion, mode: MendMode): PieceLine[] {
  if (mode === 'keep-left') return [left, { ...right, path: movePath(left.path, reflection) }];
  if (mode === 'keep-right') return [{ ...left, path: movePath(right.path, reflection) }, right];
  const path = averageLines(left.path, movePath(right.path, reflection));
  return [
    { ...left, path },
    { ...right, path: movePath(path, reflection) },
  ];
}

function mendOwn(line: PieceLine, axis: FoldLine, mode: MendMode, snapMm: number): MendedMatch {
  if (liesAlongAxis(line.path, axis)) {
    return { lines: [{ ...line, path: mapPath(line.path, (point) => footOnLine(axis, point)) }], notes: [] };
  }
  const half: Half = mode === 'keep-right' ? 'right' : 'left';
  const run = line.path.closed
    ? closedRun(line.path, axis, mode, half, snapMm)
    : openRun(line.path, axis, mode, half, snapMm);
  if (!run) return leaveAlone(line);
  const { path, pointedAt } = joinMirrored(run, axis);
  return {
    lines: [{ ...line, path: line.path.closed ? path : alike(path, line.path, axis) }],
    notes: pointedAt.map(() => ({
      code: 'pointed-at-axis',
      message:
        'A straight edge meets the fold axis at a slant, so both halves now meet in a point there. Smooth that corner, or turn the axis, if a straight edge was meant.',
    })),
  };
}

function closedRun(
  path: Path,
  axis: FoldLine,
  mode: MendMode,
  half: Half,
  snapMm: number,
): RunToMirror | undefined {
  return mode === 'average' ? averageClosedHalves(path, axis, snapMm) : closedHalf(path, axis, half, snapMm);
}

function openRun(
  path: Path,
  axis: FoldLine,
  mode: MendMode,
  half: Half,
  snapMm: number,
): RunToMirror | undefined {
  if (mode === 'average') return averageOpenHalves(path, axis, snapMm);
  const part = openHalf(path, axis, half, snapMm);
  return part && { run: part.run, startJoint: part.joint };
}

/** An open line keeps the direction it was drawn in. */
function alike(mended: Path, old: Path, axis: FoldLine): Path {
  const side = (point: PlanePoint) => Math.sign(offsetFromLineMm(axis, point));
  return side(mended.start) === side(old.start) ? mended : reversePath(mended);
}

/** An open line that keeps close to the axis and runs along it, such as a fold line. */
function liesAlongAxis(path: Path, axis: FoldLine): boolean {
  if (path.closed) return false;
  const points = samplePath(path, SPACING_MM).map(({ point }) => point);
  const across = Math.max(...points.map((point) => Math.abs(offsetFromLineMm(axis, point))));
  const along = points.map((point) => alongLineMm(axis, point));
  return across < SNAP_MM && Math.max(...along) - Math.min(...along) > 6 * across;
}

/** A line that winds about the axis has no halves. */
function leaveAlone(line: PieceLine): MendedMatch {
  const message = `A ${line.kind} line crosses the fold axis more often than its halves can be told apart, so it was left as it was. Redraw it if it should match on both sides.`;
  return { lines: [line], notes: [{ code: 'line-left-alone', message }] };
}
