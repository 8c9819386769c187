import { crossingsOf } from '../geometry/cut-by-line.ts';
import type { EdgeIndex } from '../geometry/edge-index.ts';
import { extentMm, indexPath } from '../geometry/flat-path.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import {
  mover,
  offsetFromLineMm,
  reflectionAcross,
  type RigidMotion,
  type StraightLine,
  undoMotion,
} from '../geometry/motion.ts';
import { samplePathEvenly } from '../geometry/sample-path.ts';
import type { Half } from './axis.ts';

/** How a line of a piece meets its mirror image. */
export type LineMatch =
  /** It crosses the axis (or lies along it), so its own other half is its mirror image. */
  | { readonly kind: 'own'; readonly line: PieceLine }
  | { readonly kind: 'pair'; readonly left: PieceLine; readonly right: PieceLine }
  /** It lies on one side, and nothing like it on the other. */
  | { readonly kind: 'single'; readonly line: PieceLine; readonly half: Half };

/** A partner's mean distance may be this share of the line's extent, or this many mm, whichever is more. */
const ALIKE_SHARE = 0.25;
const ALIKE_MM = 5;
const SAMPLES = 80;
/** An open line all of which lies nearer to the axis than this is a centre line or mark, mm. */
const ON_AXIS_MM = 1.5;

/** Sorts lines into those that are their own mirror image, left and right pairs, and single ones; in the order given. */
export function matchLines(lines: readonly PieceLine[], axis: StraightLine): LineMatch[] {
  const own = new Set(lines.filter(({ path }) => meetsAxis(path, axis)));
  const beside = (half: Half) =>
    lines.filter((line) => !own.has(line) && halfOf(line, axis) === half).map(partnerOf);
  const pairs = pairUp(beside('left'), beside('right'), reflectionAcross(axis));
  return lines.flatMap((line): LineMatch[] => {
    if (own.has(line)) return [{ kind: 'own', line }];
    const pair = pairs.find(({ left, right }) => left === line || right === line);
    if (!pair) return [{ kind: 'single', line, half: halfOf(line, axis) }];
    return pair.left === line ? [{ kind: 'pair', ...pair }] : [];
  });
}

function meetsAxis(path: PieceLine['path'], axis: StraightLine): boolean {
  if (crossingsOf(path, axis).length > 0) return true;
  // A centre mark was meant to be on the axis though it lies a hair beside it; an outline never was.
  const onAxis = path.closed ? 1e-6 * Math.max(1, extentMm(path)) : ON_AXIS_MM;
  return samplePathEvenly(path, Math.max(pathLengthMm(path) / SAMPLES, Number.MIN_VALUE)).every(
    ({ point }) => Math.abs(offsetFromLineMm(axis, point)) <= onAxis,
  );
}

function halfOf({ path }: PieceLine, axis: StraightLine): Half {
  const farthest = [path.start, ...path.segments.map(({ to }) => to)]
    .map((point) => offsetFromLineMm(axis, point))
    .reduce((best, offset) => (Math.abs(offset) > Math.abs(best) ? offset : best), 0);
  return farthest >= 0 ? 'left' : 'right';
}

/** Lines of one half, or of one piece of a pair, that may have a partner on the other. */
export interface Partner {
  readonly line: PieceLine;
  readonly index: EdgeIndex;
}

export function partnerOf(line: PieceLine): Partner {
  return { line, index: indexPath(line.path) };
}

/**
 * Pairs lines of the left with lines of the right that are of the same kind and lie alike once carried over; nearest likeness first,
 * each line used once.
 */
export function pairUp(
  lefts: readonly Partner[],
  rights: readonly Partner[],
  toRight: RigidMotion,
): { left: PieceLine; right: PieceLine }[] {
  const toLeft = undoMotion(toRight);
  const likenesses = lefts
    .flatMap((left) =>
      rights
        .filter(({ line }) => isSameSort(line, left.line))
        .map((right) => ({
          left: left.line,
          right: right.line,
          apartMm: Math.max(meanApart(left, right, toRight), meanApart(right, left, toLeft)),
        })),
    )
    .filter(({ left, right, apartMm }) => apartMm <= reachMm(left, right))
    .sort((a, b) => a.apartMm - b.apartMm);
  const used = new Set<PieceLine>();
  return likenesses.flatMap(({ left, right }) => {
    if (used.has(left) || used.has(right)) return [];
    used.add(left).add(right);
    return [{ left, right }];
  });
}

function reachMm(a: PieceLine, b: PieceLine): number {
  return Math.max(ALIKE_MM, ALIKE_SHARE * Math.max(extentMm(a.path), extentMm(b.path)));
}

function isSameSort(a: PieceLine, b: PieceLine): boolean {
  return a.kind === b.kind && a.path.closed === b.path.closed;
}

/** Mean distance of one line, carried over, from the other, mm. */
function meanApart(from: Partner, to: Partner, motion: RigidMotion): number {
  const carry = mover(motion);
  const samples = samplePathEvenly(from.line.path, pathLengthMm(from.line.path) / SAMPLES);
  const distances = samples.map(({ point }) => {
    const { x, y } = carry(point);
    return to.index.nearest(x, y)!.distanceMm;
  });
  return distances.reduce((sum, d) => sum + d, 0) / distances.length;
}
