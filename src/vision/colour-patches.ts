/** Patches of the picture that differ from the table, at several depths of difference: for things that are to be found, not traced. */
import { boundaryLoops } from './boundary-loops.ts';
import { logarithms } from './log-photo.ts';
import { maskWhere } from './mask-where.ts';
import { components, erode } from './mats.ts';
import type { Vision } from './opencv.ts';
import type { PixelPlace } from './polygon-mask.ts';
import type { Raster } from './raster.ts';
import { photoFromReduced, reducePhoto } from './reduce.ts';
import { tableDifference } from './table-field.ts';

/** Differences from the table at which patches are taken, natural logarithms of light. */
const DEPTHS = [0.14, 0.25, 0.45, 0.8];
/** Lines drawn on the table are thinner than twice this, reduced px. */
const THIN_PX = 2;
/** The band along the photo's border shows the table, as a share of its longer side. */
const BORDER_BAND = 0.03;

export interface Patches {
  /** Closed contours in the photo, px. */
  readonly outlines: readonly (readonly PixelPlace[])[];
  /** Photo pixels between two places of an outline. */
  readonly blockPx: number;
}

/** Outlines of all patches of at least `smallestAreaPx` (photo px); ruled lines are opened away. */
export function colourPatches(vision: Vision, photo: Raster, smallestAreaPx: number): Patches {
  const reduced = reducePhoto(photo);
  const { width, height, block } = reduced;
  const band = Math.round(BORDER_BAND * Math.max(width, height));
  const seeds = new Uint8Array(width * height).fill(1);
  for (let row = band; row < height - band; row++)
    seeds.fill(0, row * width + band, (row + 1) * width - band);
  const nothing = new Uint8Array(width * height);
  const { light, redness, blueness } = tableDifference(logarithms(vision, reduced), nothing, seeds);
  const outlines = DEPTHS.flatMap((depth) => {
    const mask = maskWhere(light.length, (at) => Math.hypot(light[at]!, redness[at]!, blueness[at]!) > depth);
    const { labels } = components(vision, erode(vision, mask, width, height, THIN_PX), width, height);
    return boundaryLoops(labels, width, height)
      .filter(({ signedAreaPx }) => signedAreaPx * block * block >= smallestAreaPx)
      .map(({ places }) =>
        places.map(({ u, v }) => ({ u: photoFromReduced(u, block), v: photoFromReduced(v, block) })),
      );
  });
  return { outlines, blockPx: block };
}
