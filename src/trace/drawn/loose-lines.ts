import { indexEdges } from '../../geometry/edge-index.ts';
import { distanceMm } from '../../geometry/point.ts';
import type { MeasuredLine } from './drawn-line.ts';
import type { DrawnOptions, LooseLine } from './drawn-types.ts';

/** A line whose middle lies this near to where one was refused is that line, px: between traces it moves by less. */
const SAME_PX = 12;
/** Places told of a line, to show it by. */
const PLACES = 40;

/** The outline that a line comes nearest to. */
function nearestOutline(
  line: MeasuredLine,
  outlines: readonly MeasuredLine[],
): { readonly outline?: MeasuredLine; readonly awayMm: number } {
  let best: { readonly outline?: MeasuredLine; readonly awayMm: number } = { awayMm: Infinity };
  for (const outline of outlines) {
    const edges = indexEdges([{ points: outline.points, closed: true }]);
    const awayMm = Math.min(...line.points.map(({ x, y }) => edges.nearest(x, y)!.distanceMm));
    if (awayMm < best.awayMm) best = { outline, awayMm };
  }
  return best;
}

/**
 * Which of the lines outside every outline go with which outline, and all of them listed, the longest first. None goes
 * with any unless the options say so, nor does one that was refused.
 */
export function sortLoose(
  loose: readonly MeasuredLine[],
  outlines: readonly MeasuredLine[],
  { keptLoose }: DrawnOptions,
): { readonly kept: ReadonlyMap<MeasuredLine, MeasuredLine>; readonly listed: readonly LooseLine[] } {
  const kept = new Map<MeasuredLine, MeasuredLine>();
  const listed = [...loose]
    .sort((a, b) => b.lengthMm - a.lengthMm)
    .map((line): LooseLine => {
      const { seenPx, points, lengthMm } = line;
      const last = seenPx.length - 1;
      const count = Math.min(PLACES, seenPx.length);
      const linePx = Array.from({ length: count }, (_, k) => seenPx[Math.round((k * last) / (count - 1))]!);
      const middlePx = seenPx[middleIndex(points)]!;
      const isRefused = keptLoose?.refused.some(
        ({ u, v }) => Math.hypot(u - middlePx.u, v - middlePx.v) < SAME_PX,
      );
      const { outline } = keptLoose && !isRefused ? nearestOutline(line, outlines) : {};
      if (outline) kept.set(line, outline);
      return { linePx, middlePx, lengthMm, isKept: outline !== undefined };
    });
  return { kept, listed };
}

/** The point half-way along a line. */
function middleIndex(points: MeasuredLine['points']): number {
  const along = [0];
  for (let i = 1; i < points.length; i++) along.push(along[i - 1]! + distanceMm(points[i - 1]!, points[i]!));
  return along.findIndex((s) => s >= along.at(-1)! / 2);
}
