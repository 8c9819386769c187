/**
 * The two frames of Foamwright. They have different field names on purpose, so that
 * the compiler refuses to mix them.
 */

/** Pixels; (0, 0) is the centre of the top-left pixel after EXIF orientation, u right, v down. */
export interface ImagePoint {
  readonly u: number;
  readonly v: number;
}

/** Millimetres on the table or on the pattern, x right, y up. */
export interface PlanePoint {
  readonly x: number;
  readonly y: number;
}

export function distanceMm(a: PlanePoint, b: PlanePoint): number {
  return Math.hypot(b.x - a.x, b.y - a.y);
}

/** Mean of one place or more in the photo. */
export function meanPlacePx(places: readonly ImagePoint[]): ImagePoint {
  return {
    u: places.reduce((sum, { u }) => sum + u, 0) / places.length,
    v: places.reduce((sum, { v }) => sum + v, 0) / places.length,
  };
}

export function midpoint(a: PlanePoint, b: PlanePoint): PlanePoint {
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}
