/** Angles of the edges of foam that meet in a fold; geometry (FACTS section 12). */

/** Each of two edges is bevelled by half the fold angle from square, rad: a right-angled fold takes 45 degrees on both. */
export function bevelRad(foldRad: number): number {
  return foldRad / 2;
}

/** The fold at each of n equal butt joints round a closed ring, rad: the ring turns once in all. */
export function ringFoldRad(panels: number): number {
  if (!(panels >= 3)) throw new RangeError('a ring needs at least three panels');
  return (2 * Math.PI) / panels;
}

/**
 * How far inside the drawn edge the middle of the foam ends, mm, when the edge is bevelled inwards from the drawn face:
 * half the thickness times the tangent of the bevel.
 */
export function midSurfaceInsetMm(thicknessMm: number, foldRad: number): number {
  return (thicknessMm / 2) * Math.tan(bevelRad(foldRad));
}
