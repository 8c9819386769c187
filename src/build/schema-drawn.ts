/** How drawn lines are traced, and the gaps bridged in them: drawn-types.ts said again in zod. */
import { z } from 'zod';
import { LIMITS } from './limits.ts';
import { imagePoint, within } from './schema-parts.ts';

const MOST_GAPS = 2000;

export const drawnFields = {
  drawn: z
    .object({
      strokeEdge: z.enum(['centre', 'outer', 'inner']),
      leastDarkness: within(LIMITS.leastDarkness),
      largestGapMm: within(LIMITS.largestGapMm),
      refusedGaps: z.array(imagePoint).max(MOST_GAPS),
      keptLoose: z.object({ refused: z.array(imagePoint).max(MOST_GAPS) }).exactOptional(),
      cleaningToleranceMm: within(LIMITS.cleaningToleranceMm),
    })
    .exactOptional(),
  bridgedGaps: z
    .array(z.object({ fromPx: imagePoint, toPx: imagePoint, lengthMm: z.number().min(0).max(1000) }))
    .max(MOST_GAPS)
    .exactOptional(),
  looseLines: z
    .array(
      z.object({
        linePx: z.array(imagePoint).min(2).max(100),
        middlePx: imagePoint,
        lengthMm: z.number().min(0).max(10_000),
        isKept: z.boolean(),
      }),
    )
    .max(MOST_GAPS)
    .exactOptional(),
};
