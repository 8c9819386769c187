import type { Raster } from '../vision/raster.ts';
import { type Clearance, clearances } from './clearance.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { newWallProfile, readWallProfile } from './wall-profile.ts';

/** The table is looked at this far outside an edge, and nothing else may lie within so much more, px. */
const BESIDE_PX = 7;
const CLEAR_PX = 2;
/** The first place of the profiles, px: nearer to the edge nothing is asked. */
const FIRST_PX = 3;
/** Of the places just outside a contour, this share are darker than the open table. */
const OPEN_SHARE = 0.75;
/** Every n-th sample is plenty. */
const STRIDE = 4;

/**
 * The table's light beside an edge where the piece does not shade it, as a logarithm (mean of the channels): the
 * brighter part of what lies out there. -Infinity where no table is seen beside it.
 */
export function openTableLight(photo: Raster, edge: RefinedEdge, clear?: Clearance): number {
  const { u, v, normalU, normalV } = edge;
  const { outwardPx } = clear ?? clearances(edge, { u: normalU, v: normalV }, BESIDE_PX + CLEAR_PX);
  const profile = newWallProfile(BESIDE_PX);
  const seen: number[] = [];
  for (let i = 0; i < u.length; i += STRIDE) {
    if (outwardPx[i]! < BESIDE_PX + CLEAR_PX) continue;
    readWallProfile(photo, u[i]!, v[i]!, normalU[i]!, normalV[i]!, 0, FIRST_PX, BESIDE_PX, profile);
    seen.push(profile.planes[0][BESIDE_PX - FIRST_PX]!);
  }
  seen.sort((a, b) => a - b);
  return seen[Math.floor(OPEN_SHARE * seen.length)] ?? -Infinity;
}
