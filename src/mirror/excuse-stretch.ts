import { placeAtLength, pointAt } from '../geometry/place.ts';
import type { PieceLine } from '../geometry/line-kinds.ts';
import type { ExcusedStretch } from './excused.ts';
import type { FoldFigures } from './fold-figures.ts';
import type { FoldStretch } from './fold-stretches.ts';

/** A finding is excused with its shoulders: to where the halves differ by less than this share of the limit, but no farther than `REACH_MM`. */
const SHOULDER_SHARE = 0.25;
const REACH_MM = 40;

/**
 * The stretch of a fold check (of `lines`) as one that is uneven on purpose: the finding with its shoulders, so that what is left of it does
 * not stay the largest difference of the piece.
 */
export function excuseFor(
  { lineId, half, fromMm, toMm, at }: FoldStretch,
  { lines: folded, limitMm }: Pick<FoldFigures, 'lines' | 'limitMm'>,
  lines: readonly PieceLine[],
  named: Pick<ExcusedStretch, 'id' | 'name'>,
): ExcusedStretch {
  const { path } = lines.find(({ id }) => id === lineId)!;
  const mine = folded.find(
    (line) => line.lineId === lineId && line.samples.some((sample) => sample.half === half),
  )!;
  const { samples, lengthMm } = mine;
  const widened = (startMm: number, step: 1 | -1): number => {
    const wanted = startMm % lengthMm;
    const first = samples.reduce(
      (best, { alongMm }, i) =>
        Math.abs(alongMm - wanted) < Math.abs(samples[best]!.alongMm - wanted) ? i : best,
      0,
    );
    let awayMm = 0;
    for (let k = 1; k < samples.length; k++) {
      const i = first + step * k;
      if (!mine.closed && (i < 0 || i >= samples.length)) break;
      const sample = samples[(i + samples.length) % samples.length]!;
      const gap = Math.abs(sample.alongMm - samples[first]!.alongMm);
      awayMm = Math.min(gap, lengthMm - gap);
      const isLevel = Math.abs(sample.deviationMm) < SHOULDER_SHARE * limitMm;
      if (isLevel || sample.half !== half || awayMm > REACH_MM) break;
    }
    return startMm + step * awayMm;
  };
  const place = (alongMm: number) => pointAt(path, placeAtLength(path, alongMm));
  return { ...named, from: place(widened(fromMm, -1)), via: at, to: place(widened(toMm, 1)) };
}
