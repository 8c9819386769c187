import type { Contour } from './contour.ts';

/** How far each sample of a contour is from another stretch of it, along its normal inwards and outwards, px. */
export interface Clearance {
  readonly inwardPx: Float64Array;
  readonly outwardPx: Float64Array;
}

/** A stretch met within this of the normal's line counts, px. */
const LANE_PX = 2.5;

/** Looks up to `reachPx` away; nothing met there counts as `reachPx`. */
export function clearances(contour: Contour, normals: Contour, reachPx: number): Clearance {
  const { u, v } = contour;
  const count = u.length;
  const inwardPx = new Float64Array(count).fill(reachPx);
  const outwardPx = new Float64Array(count).fill(reachPx);
  // Sorted by u, each sample meets only those within reach of it.
  const order = Int32Array.from({ length: count }, (_, i) => i).sort((a, b) => u[a]! - u[b]!);
  const span = Math.hypot(reachPx, LANE_PX);
  for (let a = 0; a < count; a++) {
    const i = order[a]!;
    for (let b = a + 1; b < count && u[order[b]!]! - u[i]! <= span; b++) {
      const j = order[b]!;
      const dv = v[j]! - v[i]!;
      // Another stretch faces the other way; the sample's own neighbours do not.
      if (dv > span || dv < -span || normals.u[i]! * normals.u[j]! + normals.v[i]! * normals.v[j]! > 0)
        continue;
      note(i, u[j]! - u[i]!, dv);
      note(j, u[i]! - u[j]!, -dv);
    }
  }
  function note(i: number, du: number, dv: number): void {
    const along = du * normals.u[i]! + dv * normals.v[i]!;
    const across = du * normals.v[i]! - dv * normals.u[i]!;
    if (across > LANE_PX || across < -LANE_PX) return;
    if (along < 0) inwardPx[i] = Math.min(inwardPx[i]!, -along);
    else outwardPx[i] = Math.min(outwardPx[i]!, along);
  }
  return { inwardPx, outwardPx };
}
