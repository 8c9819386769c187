import type { PieceLine } from '../../geometry/line-kinds.ts';
import { type Path, polylinePath } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { failure, type Outcome, success } from '../../outcome.ts';
import type { WrapFoam } from '../wrap-length.ts';
import { arcSegments } from './arc-path.ts';

/** A bar of foam over the top of the head, inside a headpiece, that carries its weight. */
export interface CrossBarNeed {
  /** Tape from ear to ear over the top of the head, mm. */
  readonly earToEarMm: number;
  /** How far above the ear the bar is fixed on either side, along the tape, mm. */
  readonly leftHeightMm: number;
  readonly rightHeightMm: number;
  /** Room between head and bar, mm. */
  readonly clearanceMm: number;
  readonly widthMm: number;
  /** Length of each end that is glued to the headpiece, mm. */
  readonly tabMm: number;
  readonly foam: WrapFoam;
}

export interface CrossBar {
  /** From fixing to fixing along the head, mm. */
  readonly headMm: number;
  /** Angle that the bar turns through between its fixings, rad. */
  readonly turnRad: number;
  /** From fixing to fixing along the middle of the foam, mm. */
  readonly betweenMm: number;
  /** Whole length of the bar with both tabs, mm. */
  readonly lengthMm: number;
  readonly lines: readonly PieceLine[];
}

/** From one ear over the top to the other the tape turns about half round: it rises upright at both (common practice, no source). */
const EAR_TO_EAR_TURN_RAD = Math.PI;
const SHORTEST_MM = 40;

function troubleWith({
  earToEarMm,
  leftHeightMm,
  rightHeightMm,
  widthMm,
  tabMm,
  clearanceMm,
  foam,
}: CrossBarNeed) {
  if (!(earToEarMm >= 200 && earToEarMm <= 600))
    return `An ear-to-ear tape of ${earToEarMm} mm cannot be right, so no bar can be cut to it. Measure from one ear over the top to the other, in mm: 315 to 375 mm holds nearly everyone.`;
  if (!(leftHeightMm >= 0 && rightHeightMm >= 0 && earToEarMm - leftHeightMm - rightHeightMm >= SHORTEST_MM))
    return 'Fixed that high on both sides, hardly any bar is left between. Fix it lower, or measure the heights again from the ears up.';
  if (
    !(widthMm >= 8 && widthMm <= 200 && tabMm >= 0 && tabMm <= 120 && clearanceMm >= 0 && clearanceMm <= 60)
  )
    return 'A bar is 8 to 200 mm wide, with glued ends of up to 120 mm and up to 60 mm of room over the head. Bring the figures into that.';
  if (!(foam.thicknessMm > 0 && foam.thicknessMm <= 50))
    return 'The foam must be up to 50 mm thick. Choose the foam of the bar first.';
  return undefined;
}

/** A strip with half-round ends, its length along x about the origin. */
function roundedStrip(lengthMm: number, widthMm: number): Path {
  const radius = widthMm / 2;
  const x = lengthMm / 2 - radius;
  const quarter = Math.PI / 2;
  return {
    closed: true,
    start: { x: -x, y: -radius },
    segments: [
      { kind: 'line', to: { x, y: -radius }, joint: 'smooth' },
      ...arcSegments({ x, y: 0 }, radius, -quarter, quarter, 'smooth'),
      { kind: 'line', to: { x: -x, y: radius }, joint: 'smooth' },
      ...arcSegments({ x: -x, y: 0 }, radius, quarter, 3 * quarter, 'smooth').map((segment, i, all) =>
        i === all.length - 1 ? { ...segment, to: { x: -x, y: -radius } } : segment,
      ),
    ],
  };
}

/**
 * The cross bar laid flat: the tape between its fixings, plus what the room over the head and the foam's own middle add
 * over the angle turned (bend allowance, FACTS section 3), plus a tab at each end. Marked: middle, both fixings.
 */
export function crossBar(need: CrossBarNeed, idStem: string): Outcome<CrossBar, 'bad-bar'> {
  const trouble = troubleWith(need);
  if (trouble) return failure('bad-bar', trouble);
  const { earToEarMm, leftHeightMm, rightHeightMm, clearanceMm, widthMm, tabMm, foam } = need;
  const headMm = earToEarMm - leftHeightMm - rightHeightMm;
  const turnRad = (EAR_TO_EAR_TURN_RAD * headMm) / earToEarMm;
  const betweenMm = headMm + turnRad * (clearanceMm + foam.neutralK * foam.thicknessMm);
  const lengthMm = betweenMm + 2 * tabMm;
  const half = widthMm / 2;
  const fixings = [-betweenMm / 2, betweenMm / 2];
  // The tape's middle is the top of the head; with fixings at two heights it is not the middle of the bar.
  const topX = -betweenMm / 2 + (betweenMm * (earToEarMm / 2 - leftHeightMm)) / headMm;
  const line = (id: string, kind: PieceLine['kind'], ...points: PlanePoint[]): PieceLine => ({
    id: `${idStem}-${id}`,
    kind,
    path: polylinePath(points, false),
  });
  const written = (id: string, x: number, y: number, text: string): PieceLine => ({
    ...line(id, 'mark', { x, y }, { x: x + 20, y }),
    words: { text, sizeMm: 3 },
  });
  return success({
    headMm,
    turnRad,
    betweenMm,
    lengthMm,
    lines: [
      { id: `${idStem}-cut`, kind: 'cut', path: roundedStrip(lengthMm, widthMm) },
      ...fixings.map((x, i) =>
        line(`fixing-${i + 1}`, tabMm > 0 ? 'placement' : 'mark', { x, y: -half }, { x, y: half }),
      ),
      line('top-1', 'mark', { x: topX, y: -half }, { x: topX, y: -half + Math.min(9, half) }),
      line('top-2', 'mark', { x: topX, y: half }, { x: topX, y: half - Math.min(9, half) }),
      written('left', fixings[0]! + 3, -1, 'left, glue up to the line'),
      written('top', topX + 2, half - 6, 'top'),
    ],
  });
}
