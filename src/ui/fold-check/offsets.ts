import { mover, offsetFromLineMm, reflectionAcross, type StraightLine } from '../../geometry/motion.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { FoldCheck } from '../../mirror/check-fold.ts';
import type { FoldedLine, FoldSample } from '../../mirror/folded-line.ts';
import type { FoldStretch } from '../../mirror/fold-stretches.ts';

/** How far two edges lie apart at one place of the one that lies still, the other laid on it. */
export interface EdgeOffset {
  /** Way along all the edges that lie still, one line after the other, mm. */
  readonly alongMm: number;
  /** Positive where the laid edge reaches beyond the one that lies still, negative where it falls short, mm. */
  readonly offsetMm: number;
  /** The place on the edge that lies still. */
  readonly from: PlanePoint;
  /** The nearest place on the laid edge. */
  readonly to: PlanePoint;
  /** True where a new line, or a new stretch of one, begins: no edge runs here from the sample before. */
  readonly isStart: boolean;
}

/** A line's samples on the left half in the order they are run through, cut where the line passes over the axis. */
function leftRuns({ samples, closed }: FoldedLine): FoldSample[][] {
  const count = samples.length;
  const isLeft = (i: number) => samples[(i + count) % count]!.half === 'left';
  // A closed line is begun where it comes in over the axis, so that no run is cut in two by the line's start.
  const first = closed
    ? Math.max(
        0,
        samples.findIndex((_, i) => isLeft(i) && !isLeft(i - 1)),
      )
    : 0;
  const runs: FoldSample[][] = [];
  for (let k = 0; k < count; k++) {
    const i = (first + k) % count;
    if (!isLeft(i)) continue;
    const isFirst = k === 0 || !isLeft(i - 1);
    if (isFirst || runs.length === 0) runs.push([]);
    runs.at(-1)!.push(samples[i]!);
  }
  return runs;
}

/** The right half folded over onto the left one: every place of the left half's edges, in order. */
export function foldOffsets(check: FoldCheck): EdgeOffset[] {
  const offsets: EdgeOffset[] = [];
  let begunMm = 0;
  for (const line of check.lines) {
    for (const run of leftRuns(line)) {
      const startMm = run[0]!.alongMm;
      for (const { alongMm, deviationMm, point, match } of run) {
        const wayMm = (alongMm - startMm + line.lengthMm) % line.lengthMm;
        offsets.push({
          alongMm: begunMm + wayMm,
          // Told by the engine of the left edge: outside the folded one means that the folded one falls short.
          offsetMm: -deviationMm,
          from: point,
          to: match,
          isStart: alongMm === startMm,
        });
      }
      begunMm = offsets.at(-1)!.alongMm;
    }
  }
  return offsets;
}

/** A point on either half as it lies after folding: on the left one. */
export function foldedPlace(axis: StraightLine, point: PlanePoint): PlanePoint {
  return offsetFromLineMm(axis, point) >= 0 ? point : mover(reflectionAcross(axis))(point);
}

/** An offset that gets an arrow: from the still edge to the laid one. */
export interface OffsetArrow {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly sizeMm: number;
}

/**
 * Arrows for the stretches above the limit, largest first. Folded, they lie on the left half, from its edge to the one laid
 * over it; open, each lies on the half it is told of, from its edge to where the other half would have it.
 */
export function stretchArrows(
  axis: StraightLine,
  stretches: readonly FoldStretch[],
  isFolded: boolean,
  most = 8,
): OffsetArrow[] {
  const reflect = mover(reflectionAcross(axis));
  return stretches.slice(0, most).map(({ at, twinAt, half, peakMm }) => {
    const sizeMm = Math.abs(peakMm);
    if (!isFolded) return { from: at, to: reflect(twinAt), sizeMm };
    const [still, laid] = half === 'left' ? [at, twinAt] : [twinAt, at];
    return { from: foldedPlace(axis, still), to: foldedPlace(axis, laid), sizeMm };
  });
}

/** The largest offset of all, for pieces that are within the limit everywhere; undefined without samples. */
export function largestArrow(offsets: readonly EdgeOffset[]): OffsetArrow | undefined {
  let largest = offsets[0];
  for (const offset of offsets) {
    if (largest && Math.abs(offset.offsetMm) > Math.abs(largest.offsetMm)) largest = offset;
  }
  return largest && { from: largest.from, to: largest.to, sizeMm: Math.abs(largest.offsetMm) };
}

/** Index of the sample nearest to a way along the edge; the samples stand in order. */
export function sampleAt(offsets: readonly EdgeOffset[], alongMm: number): number {
  let [low, high] = [0, offsets.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (offsets[middle]!.alongMm <= alongMm) low = middle;
    else high = middle;
  }
  const gap = (index: number) => Math.abs((offsets[index]?.alongMm ?? Infinity) - alongMm);
  return gap(high) < gap(low) ? high : low;
}

/** Index of the sample nearest to a point on the worktable, if one lies within reach. */
export function sampleNear(
  offsets: readonly EdgeOffset[],
  point: PlanePoint,
  reachMm: number,
): number | undefined {
  let best: { index: number; gapMm: number } | undefined;
  offsets.forEach(({ from }, index) => {
    const gapMm = Math.hypot(from.x - point.x, from.y - point.y);
    if (gapMm <= reachMm && gapMm < (best?.gapMm ?? Infinity)) best = { index, gapMm };
  });
  return best?.index;
}

/** Half the height of the chart, mm: the limit and the largest offset both inside, on a round figure. */
export function chartReachMm(offsets: readonly EdgeOffset[], limitMm: number): number {
  let largest = limitMm;
  for (const { offsetMm } of offsets) largest = Math.max(largest, Math.abs(offsetMm));
  const wanted = Math.max(1.15 * largest, 0.1);
  const decade = 10 ** Math.floor(Math.log10(wanted));
  const lead = [1, 1.5, 2, 3, 4, 5, 6, 8, 10].find((step) => step * decade >= wanted * (1 - 1e-9))!;
  return lead * decade;
}
