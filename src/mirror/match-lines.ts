import { crossingsOf } from '../geometry/cut-by-line.ts';
import type { EdgeIndex } from '../geometry/edge-index.ts';
import { extentMm, indexPath } from '../geometry/flat-path.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import { pathLengthMm } from '../geometry/measure.ts';
import { mover, offsetFromLineMm, reflectionAcross, type StraightLine } from '../geometry/motion.ts';
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

interface Sided {
  readonly line: PieceLine;
  readonly half: Half;
  readonly index: EdgeIndex;
}

/** Sorts lines into those that are their own mirror image, left and right pairs, and single ones; in the order given. */
export function matchLines(lines: readonly PieceLine[], axis: StraightLine): LineMatch[] {
  const own = new Set(lines.filter(({ path }) => meetsAxis(path, axis)));
  const sided = lines
    .filter((line) => !own.has(line))
    .map((line): Sided => ({ line, half: halfOf(line, axis), index: indexPath(line.path) }));
  const pairs = pairUp(sided, axis);
  return lines.flatMap((line): LineMatch[] => {
    if (own.has(line)) return [{ kind: 'own', line }];
    const pair = pairs.find(({ left, right }) => left === line || right === line);
    if (!pair) return [{ kind: 'single', line, half: halfOf(line, axis) }];
    return pair.left === line ? [{ kind: 'pair', ...pair }] : [];
  });
}

function meetsAxis(path: PieceLine['path'], axis: StraightLine): boolean {
  if (crossingsOf(path, axis).length > 0) return true;
  const onAxis = 1e-6 * Math.max(1, extentMm(path));
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

/** Nearest likeness first; each line is used once. */
function pairUp(sided: readonly Sided[], axis: StraightLine): { left: PieceLine; right: PieceLine }[] {
  const likenesses = sided
    .filter(({ half }) => half === 'left')
    .flatMap((left) =>
      sided
        .filter(({ line, half }) => half === 'right' && isSameSort(line, left.line))
        .map((right) => ({
          left,
          right,
          apartMm: Math.max(meanApart(left, right, axis), meanApart(right, left, axis)),
        })),
    )
    .filter(
      ({ left, right, apartMm }) =>
        apartMm <=
        Math.max(ALIKE_MM, ALIKE_SHARE * Math.max(extentMm(left.line.path), extentMm(right.line.path))),
    )
    .sort((a, b) => a.apartMm - b.apartMm);
  const used = new Set<PieceLine>();
  return likenesses.flatMap(({ left, right }) => {
    if (used.has(left.line) || used.has(right.line)) return [];
    used.add(left.line).add(right.line);
    return [{ left: left.line, right: right.line }];
  });
}

function isSameSort(a: PieceLine, b: PieceLine): boolean {
  return a.kind === b.kind && a.path.closed === b.path.closed;
}

/** Mean distance of one line's reflection from the other, mm. */
function meanApart(from: Sided, to: Sided, axis: StraightLine): number {
  const reflect = mover(reflectionAcross(axis));
  const samples = samplePathEvenly(from.line.path, pathLengthMm(from.line.path) / SAMPLES);
  const distances = samples.map(({ point }) => {
    const { x, y } = reflect(point);
    return to.index.nearest(x, y)!.distanceMm;
  });
  return distances.reduce((sum, d) => sum + d, 0) / distances.length;
}
