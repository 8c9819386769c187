import type { Raster } from '../vision/raster.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { readWalls } from './seen-evidence.ts';
import type { SeenEdge } from './types.ts';
import type { WallView } from './wall-view.ts';

/** Cost of changing one's mind between neighbouring samples. */
const CHANGE_COST = 2;

/** The likelier of two states for each sample of a closed sequence, given the gains of the first: dynamic programming. */
function likelierStates(forFoot: Float64Array): SeenEdge[] {
  const count = forFoot.length;
  const stayFoot = new Uint8Array(2 * count);
  const stayTop = new Uint8Array(2 * count);
  let [foot, top] = [0, 0];
  // Twice round, so that the start has no say.
  for (let k = 0; k < 2 * count; k++) {
    const gain = forFoot[k % count]!;
    stayFoot[k] = foot >= top - CHANGE_COST ? 1 : 0;
    stayTop[k] = top >= foot - CHANGE_COST ? 1 : 0;
    const nextFoot = (stayFoot[k] ? foot : top - CHANGE_COST) + gain;
    top = (stayTop[k] ? top : foot - CHANGE_COST) - gain;
    foot = nextFoot;
  }
  const states = Array.from({ length: count }, (): SeenEdge => 'top');
  let state: SeenEdge = foot >= top ? 'foot' : 'top';
  for (let k = 2 * count - 1; k >= 0; k--) {
    // The second time round is the one that counts; the first lap of the way back overwrites nothing before it.
    if (k >= count) states[k - count] = state;
    if (state === 'foot' ? !stayFoot[k] : !stayTop[k]) state = state === 'foot' ? 'top' : 'foot';
  }
  return states;
}

/** Which edge each sample of an outline lies on, and its place there. */
export interface SeenEdges {
  readonly seen: readonly SeenEdge[];
  /** The refined edge, moved where a narrow wall had pulled it. */
  readonly edge: RefinedEdge;
}

/**
 * Tells for each sample of a thick piece's outline whether the top edge or the foot was traced. Turned away from the
 * camera's foot point the outline seen is always the top edge; where the side wall shows, the picture decides, for
 * whole stretches together.
 */
export function tellSeenEdges(photo: Raster, edge: RefinedEdge, view: WallView): SeenEdges {
  const { forFoot, footShiftPx, topShiftPx } = readWalls(photo, edge, view);
  const seen = likelierStates(forFoot).map((state, i) => (view.facing[i]! > 0 ? state : 'top'));
  const shifts = seen.map((state, i) => (state === 'foot' ? footShiftPx[i]! : topShiftPx[i]!));
  return {
    seen,
    edge: {
      ...edge,
      u: edge.u.map((u, i) => u + shifts[i]! * edge.normalU[i]!),
      v: edge.v.map((v, i) => v + shifts[i]! * edge.normalV[i]!),
    },
  };
}
