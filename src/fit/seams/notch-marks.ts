import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { Path } from '../../geometry/path.ts';
import { plus, quarterLeft, times } from '../../geometry/vector.ts';
import type { EdgePoint } from './edge-ruler.ts';
import type { SeamNotch } from './walk-seam.ts';

/** A notch is drawn inwards from the edge, so that it is not cut off with the waste; the centre mark is the longest. */
export const NOTCH_MM = 5;
export const CENTRE_MARK_MM = 9;
/** The two ticks of a double notch lie this far apart. */
const DOUBLE_MM = 3;

function tick({ at, inward }: EdgePoint, aside: number, lengthMm: number): Path {
  const start = plus(at, times(quarterLeft(inward), aside));
  const to = plus(start, times(inward, lengthMm));
  return { closed: false, start, segments: [{ kind: 'line', to, joint: 'corner' }] };
}

/** Ticks of a notch: one towards the seam's beginning, two towards its end, so that an edge cannot be joined the wrong way round. */
function ticksOf({ kind }: SeamNotch, point: EdgePoint): Path[] {
  if (kind === 'centre') return [tick(point, 0, CENTRE_MARK_MM)];
  if (kind === 'towards-start') return [tick(point, 0, NOTCH_MM)];
  return [tick(point, -DOUBLE_MM / 2, NOTCH_MM), tick(point, DOUBLE_MM / 2, NOTCH_MM)];
}

/** The notches of a seam as marks on one of its pieces. Ids begin with `idStem`. */
export function notchMarks(notches: readonly SeamNotch[], side: 'a' | 'b', idStem: string): PieceLine[] {
  return notches
    .flatMap((notch) => ticksOf(notch, notch[side]))
    .map((path, i) => ({ id: `${idStem}-${i + 1}`, kind: 'mark', path }));
}
