import type { PlanePoint } from '../../geometry/point.ts';
import type { FoldedLine, FoldSample } from '../../mirror/folded-line.ts';
import type { FoldStretch } from '../../mirror/fold-stretches.ts';

/**
 * What the screen shows of halves laid on each other, whether the left and right half of one piece or two pieces of a
 * pair: the left one lies still, the right one is turned over and laid on it.
 */

/** How far two edges lie apart at one place of the one that lies still. */
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
  /** Set where the piece is uneven on purpose. */
  readonly isExcused?: true;
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
    if (k === 0 || !isLeft(i - 1)) runs.push([]);
    runs.at(-1)!.push(samples[i]!);
  }
  return runs;
}

/** Every place of the left half's edges with what is laid on it, in order. */
export function laidOffsets(lines: readonly FoldedLine[]): EdgeOffset[] {
  const offsets: EdgeOffset[] = [];
  let begunMm = 0;
  for (const line of lines) {
    for (const run of leftRuns(line)) {
      const startMm = run[0]!.alongMm;
      for (const { alongMm, deviationMm, point, match, isExcused } of run) {
        const wayMm = (alongMm - startMm + line.lengthMm) % line.lengthMm;
        offsets.push({
          alongMm: begunMm + wayMm,
          // Told by the engine of the left edge: outside the laid one means that the laid one falls short.
          offsetMm: -deviationMm,
          from: point,
          to: match,
          isStart: alongMm === startMm,
          ...(isExcused && { isExcused }),
        });
      }
      begunMm = offsets.at(-1)!.alongMm;
    }
  }
  return offsets;
}

/** An offset that gets an arrow: from the still edge to the laid one. */
export interface OffsetArrow {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly sizeMm: number;
}

const MOST_ARROWS = 8;

/** Arrows for the stretches above the limit, largest first, as they lie on the left half. `lay` lays the right one on it. */
export function laidArrows(
  stretches: readonly FoldStretch[],
  lay: (point: PlanePoint) => PlanePoint,
): OffsetArrow[] {
  return stretches.slice(0, MOST_ARROWS).map(({ at, twinAt, half, peakMm }) => {
    const [from, to] = half === 'left' ? [at, lay(twinAt)] : [twinAt, lay(at)];
    return { from, to, sizeMm: Math.abs(peakMm) };
  });
}

/** The same arrows on a piece lying open: each on the half it is told of, to where the other half would have that place. */
export function openArrows(
  stretches: readonly FoldStretch[],
  reflect: (point: PlanePoint) => PlanePoint,
): OffsetArrow[] {
  return stretches
    .slice(0, MOST_ARROWS)
    .map(({ at, twinAt, peakMm }) => ({ from: at, to: reflect(twinAt), sizeMm: Math.abs(peakMm) }));
}

/** The largest offset of all, for pieces that are within the limit everywhere; undefined without samples. */
export function largestArrow(offsets: readonly EdgeOffset[]): OffsetArrow | undefined {
  const judged = offsets.filter(({ isExcused }) => !isExcused);
  let largest = judged[0];
  for (const offset of judged) {
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
