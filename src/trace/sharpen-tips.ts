import { findCorners } from './clean-corners.ts';
import { spreadSamples } from './clean-samples.ts';
import { type Contour, resample } from './contour.ts';

/** Corners are looked for with the scale of the plane: this is how far a bend may be from a sharp corner there, mm. */
const SHARPNESS_MM = 0.15;
const SAMPLE_STEP_MM = 0.4;

/**
 * Puts back the tips that the first proposal cut off: where the refined sides of a contour, carried on, meet in a
 * sharp corner, the corner becomes part of the contour. The result is resampled for a second refinement, which finds
 * out whether the edge really goes there. `pxPerMm` is the photo's scale at the piece.
 */
export function sharpenTips(contour: Contour, pxPerMm: number, stepPx: number): Contour {
  const points = Array.from(contour.u, (u, i) => ({ x: u / pxPerMm, y: contour.v[i]! / pxPerMm }));
  const samples = spreadSamples(points, true, SAMPLE_STEP_MM);
  if (!samples) return contour;
  const count = points.length;
  const tips = findCorners(samples, points, SHARPNESS_MM).map(({ point }) => {
    let after = 0;
    let least = Infinity;
    for (let i = 0; i < count; i++) {
      const next = points[(i + 1) % count]!;
      const way =
        Math.hypot(points[i]!.x - point.x, points[i]!.y - point.y) +
        Math.hypot(next.x - point.x, next.y - point.y);
      if (way < least) {
        least = way;
        after = i;
      }
    }
    return { after, u: point.x * pxPerMm, v: point.y * pxPerMm };
  });
  const u: number[] = [];
  const v: number[] = [];
  for (let i = 0; i < count; i++) {
    u.push(contour.u[i]!);
    v.push(contour.v[i]!);
    for (const tip of tips) {
      if (tip.after !== i) continue;
      u.push(tip.u);
      v.push(tip.v);
    }
  }
  return resample({ u: Float64Array.from(u), v: Float64Array.from(v) }, stepPx);
}
