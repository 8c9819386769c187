import type { PlanePoint } from '../geometry/point.ts';
import { cross, minus, unit } from '../geometry/vector.ts';
import type { Half } from './axis.ts';
import type { FoldSample } from './folded-line.ts';
import type { Run } from './runs.ts';

/** The stretch is looked at together with as much again on either side. */
const MARGIN = 1;
/** Bending is read at this many steps over the stretch: coarse enough to smooth away the roughness of a traced edge. */
const STEPS = 14;
/** One half counts as the odd one when it bends this much more unevenly. */
const CLEARLY_MORE = 1.25;

/**
 * Which half a difference more likely belongs to. Folding shows only that the halves differ; but a slip of knife or pencil
 * makes the edge bend where the design runs on, so the half that bends more unevenly (both read at the same places) is named. Undefined when both bend about alike.
 */
export function oddHalf(runs: readonly Run[]): Half | undefined {
  const energy: Record<Half, number> = { left: 0, right: 0 };
  for (const run of runs) {
    const other: Half = run.half === 'left' ? 'right' : 'left';
    const window = windowRound(run);
    energy[run.half] += bending(window.map(({ point }) => point));
    energy[other] += bending(window.map(({ match }) => match));
  }
  if (energy.left > CLEARLY_MORE * energy.right) return 'left';
  if (energy.right > CLEARLY_MORE * energy.left) return 'right';
  return undefined;
}

/** The run's samples with those before and after, in order. */
function windowRound({ line, samples, half, fromMm, toMm }: Run): FoldSample[] {
  const reach = MARGIN * Math.max(toMm - fromMm, 4);
  const count = line.samples.length;
  const take = (start: number, direction: 1 | -1): FoldSample[] => {
    const taken: FoldSample[] = [];
    for (let k = 1; k < count; k++) {
      const i = start + direction * k;
      if (!line.closed && (i < 0 || i >= count)) break;
      const sample = line.samples[(i + count) % count]!;
      const away = Math.abs(sample.alongMm - line.samples[start]!.alongMm);
      if (sample.half !== half || Math.min(away, line.lengthMm - away) > reach) break;
      taken.push(sample);
    }
    return taken;
  };
  const [first, last] = [samples[0]!, samples[samples.length - 1]!];
  return [...take(first, -1).reverse(), ...samples.map((i) => line.samples[i]!), ...take(last, 1)];
}

/**
 * How unevenly a line bends: the spread of its points' distances from the chords of their neighbours, read on the middles of
 * equal batches of points. An even curve has none, however strongly it bends.
 */
function bending(points: readonly PlanePoint[]): number {
  const batches = Array.from({ length: STEPS }, (_, k) =>
    points.slice(Math.floor((k * points.length) / STEPS), Math.floor(((k + 1) * points.length) / STEPS)),
  ).filter((batch) => batch.length > 0);
  const middles = batches.map((batch) => ({
    x: batch.reduce((sum, { x }) => sum + x, 0) / batch.length,
    y: batch.reduce((sum, { y }) => sum + y, 0) / batch.length,
  }));
  const offsets = middles.slice(1, -1).map((middle, i) => {
    const chord = unit(minus(middles[i + 2]!, middles[i]!));
    return chord ? cross(chord, minus(middle, middles[i]!)) : 0;
  });
  const mean = offsets.reduce((sum, offset) => sum + offset, 0) / (offsets.length || 1);
  return offsets.reduce((sum, offset) => sum + (offset - mean) ** 2, 0);
}
