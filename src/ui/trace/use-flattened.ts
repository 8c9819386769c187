import { useEffect, useState } from 'react';
import type { Capture } from '../../capture/types.ts';
import type { Bounds } from '../../geometry/measure.ts';
import { engine, photoInEngine } from '../engine.ts';
import { runJob } from '../jobs.ts';
import { photoBlob } from '../photo-keeping.ts';
import { PHOTO_MISSING } from '../photo-missing.ts';

/** Long side of the flattened picture, px: sharper than a worktable, made in a second. */
const LONG_SIDE_PX = 2000;

/** Key of the job that flattens a photo. */
export const FLATTENING = 'flatten photo';

interface Flattened {
  readonly area: Bounds;
  readonly picture: ImageBitmap;
}

/** The photo as it looks from straight above on the pieces' plane, over an area of it; only for looking at. */
export function useFlattened(
  photo: { readonly photoId: string; readonly capture: Capture } | undefined,
  area: Bounds | undefined,
): Flattened | undefined {
  const [made, setMade] = useState<(Flattened & { readonly of: Capture }) | undefined>(undefined);
  const { photoId, capture } = photo ?? {};
  useEffect(() => {
    if (!area || photoId === undefined || !capture) return;
    let isWanted = true;
    const pxPerMm = LONG_SIDE_PX / Math.max(area.maxX - area.minX, area.maxY - area.minY);
    const view = { camera: capture.camera, area, pxPerMm, zMm: capture.thicknessMm };
    void runJob(FLATTENING, 'Looking at the photo from straight above', async (progress, signal) => {
      const blob = await photoBlob(photoId);
      if (!blob) return PHOTO_MISSING;
      const opened = await photoInEngine(photoId, blob, signal);
      if (!opened.ok) return opened;
      return engine.flattenedView(opened.value.photoKey, view, { progress, signal });
    }).then((picture) => {
      if (picture && isWanted) setMade({ area, picture, of: capture });
    });
    return () => {
      isWanted = false;
    };
  }, [photoId, capture, area]);
  return area && made && made.of === capture ? made : undefined;
}
