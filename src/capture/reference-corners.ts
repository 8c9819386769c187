/** Tells a card with rounded corners from a piece of paper or card cut to the same size. */
import type { ImagePoint } from '../geometry/point.ts';
import type { Raster } from '../vision/raster.ts';
import { fitHomography, applyHomography } from './homography.ts';
import { lightColor } from './light.ts';
import type { SeenOutline } from './reference-outline.ts';
import { BANK_CARD, BANK_CARD_RADIUS_MM, shapeCorners } from './reference-shapes.ts';

/** Distance from a corner's tip to its arc, mm along the bisector. */
const GAP_MM = BANK_CARD_RADIUS_MM * (Math.SQRT2 - 1);
/** The table is looked at this far outside the tip, the card's face this far inside, mm along the bisector. */
const TABLE_MM = 1.2;
const FACE_MM = 3.2;
/** Corners whose face is too like the table tell nothing. */
const LEAST_CONTRAST = 0.02;
/** Below this scale blur fills the gap, px per mm: every corner counts as round. */
const COARSEST = 1.6;
/** Middle of the gap as a share of the way from table to face: near 0 for a round corner, near 1 for a square one. */
const ROUND_BELOW = 0.62;

/** True when most corners that can be judged are round, or when none can. */
export function hasRoundCorners(photo: Raster, { cornersPx, pxPerMm }: SeenOutline): boolean {
  if (pxPerMm < COARSEST) return true;
  const nominal = shapeCorners(BANK_CARD);
  const homography = fitHomography(nominal.map((at, i) => ({ at, seen: cornersPx[i]! })));
  if (!homography) return true;
  const shares = nominal.flatMap(({ x, y }) => {
    const along = (mm: number): ImagePoint => {
      const step = mm / Math.SQRT2;
      return applyHomography(homography, { x: x - Math.sign(x) * step, y: y - Math.sign(y) * step });
    };
    const [table, gap, face] = [-TABLE_MM, GAP_MM / 2, FACE_MM].map((mm) => {
      const { u, v } = along(mm);
      return lightColor(photo, u, v);
    });
    if (!table || !gap || !face) return [];
    const way = face.map((value, c) => value - table[c]!);
    const square = way.reduce((sum, value) => sum + value * value, 0);
    if (square < LEAST_CONTRAST ** 2) return [];
    return [gap.reduce((sum, value, c) => sum + (value - table[c]!) * way[c]!, 0) / square];
  });
  if (shares.length === 0) return true;
  const middle = [...shares].sort((a, b) => a - b)[Math.floor((shares.length - 1) / 2)]!;
  return middle < ROUND_BELOW;
}
