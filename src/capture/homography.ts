/** Plane-to-plane projective maps, for predictions and starting values; never for measuring. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { choleskyFactor, choleskySolve } from './linear-algebra.ts';

/** Row by row, last entry 1: (x, y) -> (h0 x + h1 y + h2, h3 x + h4 y + h5) / (h6 x + h7 y + 1). */
export type Homography = readonly number[];

/**
 * The homography that best maps mm to px for four or more points spread round the origin, or undefined when they
 * do not determine one (direct linear transformation with the last entry fixed; Hartley & Zisserman, Multiple
 * View Geometry, section 4.1).
 */
export function fitHomography(
  points: readonly { readonly at: PlanePoint; readonly seen: ImagePoint }[],
): Homography | undefined {
  const spread = Math.max(...points.map(({ at }) => Math.hypot(at.x, at.y)));
  const centre = {
    u: points.reduce((sum, { seen }) => sum + seen.u, 0) / points.length,
    v: points.reduce((sum, { seen }) => sum + seen.v, 0) / points.length,
  };
  const size = Math.max(...points.map(({ seen }) => Math.hypot(seen.u - centre.u, seen.v - centre.v)));
  const normal = new Float64Array(64);
  const right = new Float64Array(8);
  const addRow = (row: readonly number[], target: number): void => {
    for (let i = 0; i < 8; i++) {
      right[i]! += row[i]! * target;
      for (let j = 0; j < 8; j++) normal[i * 8 + j]! += row[i]! * row[j]!;
    }
  };
  for (const { at, seen } of points) {
    const [x, y] = [at.x / spread, at.y / spread];
    const [u, v] = [(seen.u - centre.u) / size, (seen.v - centre.v) / size];
    addRow([x, y, 1, 0, 0, 0, -u * x, -u * y], u);
    addRow([0, 0, 0, x, y, 1, -v * x, -v * y], v);
  }
  const factor = choleskyFactor(normal, 8);
  if (!factor) return undefined;
  const [a, b, c, d, e, f, g, h] = choleskySolve(factor, 8, right) as unknown as number[];
  // Back to px and mm: u = size * u' + centre, x' = x / spread.
  return [
    (size * a! + centre.u * g!) / spread,
    (size * b! + centre.u * h!) / spread,
    size * c! + centre.u,
    (size * d! + centre.v * g!) / spread,
    (size * e! + centre.v * h!) / spread,
    size * f! + centre.v,
    g! / spread,
    h! / spread,
    1,
  ];
}

/** Image of a plane point. */
export function applyHomography(h: Homography, { x, y }: PlanePoint): ImagePoint {
  const w = h[6]! * x + h[7]! * y + h[8]!;
  return { u: (h[0]! * x + h[1]! * y + h[2]!) / w, v: (h[3]! * x + h[4]! * y + h[5]!) / w };
}

/** Derivatives at a point: [du/dx, du/dy, dv/dx, dv/dy], px per mm. */
export type LocalAffine = readonly [number, number, number, number];

export function homographySlope(h: Homography, point: PlanePoint): LocalAffine {
  const { u, v } = applyHomography(h, point);
  const w = h[6]! * point.x + h[7]! * point.y + h[8]!;
  return [(h[0]! - u * h[6]!) / w, (h[1]! - u * h[7]!) / w, (h[3]! - v * h[6]!) / w, (h[4]! - v * h[7]!) / w];
}
