/** Where the foot of a card's edge shows: a card is thick enough for a light strip beside its face at the near sides. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { applyHomography, fitHomography } from './homography.ts';

/** The lens as far as it is known before the solve. */
export interface RoughLens {
  readonly focalPx: number;
  readonly centre: ImagePoint;
}

/**
 * From a place in the frame of a face seen at some corners to where the point below it on the table shows, `heightMm`
 * lower: along the normal of the plane that the corners' homography spans (Hartley & Zisserman, Multiple View
 * Geometry, section 8.1). Undefined when the corners are no figure in front of the lens.
 */
export function footOf(
  corners: readonly { readonly at: PlanePoint; readonly seen: ImagePoint }[],
  heightMm: number,
  { focalPx, centre }: RoughLens,
): ((at: PlanePoint) => ImagePoint) | undefined {
  const h = fitHomography(
    corners.map(({ at, seen }) => ({
      at,
      seen: { u: (seen.u - centre.u) / focalPx, v: (seen.v - centre.v) / focalPx },
    })),
  );
  if (!h) return undefined;
  const [a, b, t] = [0, 1, 2].map((column) => [h[column]!, h[column + 3]!, h[column + 6]!] as const);
  const [a0, a1, a2] = a!;
  const [b0, b1, b2] = b!;
  const across = [a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0];
  const size = Math.hypot(...across);
  if (!(size > 0)) return undefined;
  // A millimetre along the normal is as long as one along the face; away from the lens is down.
  const towards = across.reduce((sum, value, i) => sum + value * t![i]!, 0);
  const down = across.map((value) => (Math.sign(towards) * value * heightMm) / Math.sqrt(size));
  const dropped = [...h];
  for (let row = 0; row < 3; row++) dropped[3 * row + 2]! += down[row]!;
  return (at) => {
    const { u, v } = applyHomography(dropped, at);
    return { u: centre.u + focalPx * u, v: centre.v + focalPx * v };
  };
}
