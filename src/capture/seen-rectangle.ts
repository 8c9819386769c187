/** What a four-sided shape in the photo would be on the table if it is a rectangle. */
import type { ImagePoint } from '../geometry/point.ts';
import { fitHomography } from './homography.ts';

export interface SeenRectangle {
  /** First side over second side. */
  readonly aspect: number;
  /** Cosine of the angle between the two: 0 for a rectangle. */
  readonly skew: number;
}

/**
 * Proportions of the plane figure behind four corners seen with a focal length: the columns of the homography of the
 * unit square, freed of the focal length, are the two sides' directions times their lengths (Hartley & Zisserman,
 * Multiple View Geometry, section 8.1; Zhang & He, "Whiteboard scanning and image enhancement", 2006).
 */
export function seenRectangle(
  corners: readonly ImagePoint[],
  focalPx: number,
  centre: ImagePoint,
): SeenRectangle | undefined {
  const unit = [
    { x: -0.5, y: 0.5 },
    { x: 0.5, y: 0.5 },
    { x: 0.5, y: -0.5 },
    { x: -0.5, y: -0.5 },
  ];
  const h = fitHomography(
    unit.map((at, i) => ({
      at,
      seen: { u: (corners[i]!.u - centre.u) / focalPx, v: (corners[i]!.v - centre.v) / focalPx },
    })),
  );
  if (!h) return undefined;
  const a = [h[0]!, h[3]!, h[6]!];
  const b = [h[1]!, h[4]!, h[7]!];
  const [la, lb] = [Math.hypot(...a), Math.hypot(...b)];
  const dot = a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
  return { aspect: la / lb, skew: dot / (la * lb) };
}
