/** Tells a thing that lies on the table from a figure drawn on it: its face differs from the table all round. */
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { applyHomography, fitHomography } from './homography.ts';
import { lightColor } from './light.ts';
import { median } from '../geometry/median.ts';
import type { SeenOutline } from './reference-outline.ts';
import { type ReferenceShape, shapeCorners } from './reference-shapes.ts';

/**
 * Colours are looked at this far to either side, mm: close by, beyond a drawn line and the thing's own shadow, and over a
 * band wider than the lines of a mat are apart, for a figure of them shows the same lines and cells on both sides.
 */
const CLOSE_MM = [1.8, 2.6, 3.4];
const BAND_MM = [1.8, 3, 4.2, 5.4, 6.6, 7.8, 9];
const PLACES = 20;
/** A thing's face differs from the table by at least this, at its faintest side and at the others. */
const LEAST_CONTRAST = [0.02, 0.05];

/**
 * How far, at each side, the middle colour of the face lies from the middle colour of the table beside it, at these
 * distances: square root of light (about as the eye has it).
 */
function faceContrasts(
  photo: Raster,
  shape: ReferenceShape,
  { cornersPx }: Pick<SeenOutline, 'cornersPx'>,
  besideMm: readonly number[],
): readonly number[] {
  const nominal = shapeCorners(shape);
  const homography = fitHomography(nominal.map((at, i) => ({ at, seen: cornersPx[i]! })));
  if (!homography) return [0, 0, 0, 0];
  return nominal.map((from, i) => {
    const to = nominal[(i + 1) % 4]!;
    const length = Math.hypot(to.x - from.x, to.y - from.y);
    const way = { x: (to.x - from.x) / length, y: (to.y - from.y) / length };
    const middle = (outwardMm: readonly number[]): number[] => {
      const colors = outwardMm.flatMap((out) =>
        Array.from({ length: PLACES }, (_, k) => {
          const along = shape.cornerMm + ((length - 2 * shape.cornerMm) * (k + 0.5)) / PLACES;
          const at: PlanePoint = {
            x: from.x + along * way.x - out * way.y,
            y: from.y + along * way.y + out * way.x,
          };
          const { u, v }: ImagePoint = applyHomography(homography, at);
          return lightColor(photo, u, v) ?? [];
        }),
      );
      const seen = colors.filter(({ length: channels }) => channels === 3);
      return [0, 1, 2].map((c) => Math.sqrt(median(seen.map((color) => color[c]!))));
    };
    const [face, table] = [middle(besideMm.map((mm) => -mm)), middle(besideMm)];
    return Math.hypot(...face.map((value, c) => value - table[c]!));
  });
}

/** True when the face differs from the table at all four sides: it is not a figure drawn on a cutting mat. */
export function hasOwnFace(
  photo: Raster,
  shape: ReferenceShape,
  outline: Pick<SeenOutline, 'cornersPx'>,
): boolean {
  return [CLOSE_MM, BAND_MM].every((besideMm) => {
    const contrasts = [...faceContrasts(photo, shape, outline, besideMm)].sort((a, b) => a - b);
    return LEAST_CONTRAST.every((least, i) => contrasts[i]! >= least);
  });
}
