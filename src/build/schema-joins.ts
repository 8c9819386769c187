/** Joined photos: join-types.ts said again in zod. */
import { z } from 'zod';
import { id } from './schema-parts.ts';

export const MOST_JOINS = 50;
/** As the commands: each photo is held decoded in turn. */
const MOST_PHOTOS = 6;
const MOST_SHARED = 250;
const MOST_PIECES = 500;
const MOST_NOTES = 200;

const length = z.number().min(0).max(1e6);
const places = z
  .array(
    z
      .int()
      .min(0)
      .max(MOST_PHOTOS - 1),
  )
  .max(MOST_PHOTOS);

export const joinRecord = z.object({
  id,
  captureIds: z.array(id).min(2).max(MOST_PHOTOS),
  shared: z
    .array(z.object({ cardId: z.int().min(0).max(249), photos: places, gapMm: length }))
    .max(MOST_SHARED),
  pieces: z
    .array(
      z.object({
        longMm: length,
        shortMm: length,
        toleranceMm: length,
        toleranceSamePrinterMm: length,
        photos: places,
        overlap: z.object({ maxMm: length, meanMm: length, lengthMm: length }),
      }),
    )
    .max(MOST_PIECES),
  notes: z.array(z.string().max(1000)).max(MOST_NOTES),
});
