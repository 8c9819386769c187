/** What the fold check and the refit keep with a piece, at run time (a part of schema.ts). */
import { z } from 'zod';
import { id, name, planePoint } from './schema-parts.ts';

/** More than anyone names on one piece. */
const MOST_EXCUSED = 100;

const foldAxis = z.object({
  point: planePoint,
  angleRad: z.number(),
  rule: z.enum(['free', 'by-hand', 'vertical', 'through-marks']),
});

export const foldFields = {
  axis: foldAxis.exactOptional(),
  excused: z
    .array(
      z.object({
        id,
        name,
        from: planePoint,
        via: planePoint,
        to: planePoint,
      }),
    )
    .max(MOST_EXCUSED)
    .exactOptional(),
  mockUpOf: id.exactOptional(),
};
