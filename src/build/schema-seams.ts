/** Seams, strips to trim and the size range: seam-types.ts said again in zod. */
import { z } from 'zod';
import { LIMITS } from './limits.ts';
import { id, name, planePoint, within } from './schema-parts.ts';

export const MOST_SEAMS = 200;
const MOST_HEADS = 40;

const pieceEdge = z.object({ pieceId: id, from: planePoint, to: planePoint });

export const seam = z.object({
  id,
  name,
  a: pieceEdge,
  b: pieceEdge,
  facing: z.enum(['beside', 'turned']),
  notchesPerHalf: z.int().min(LIMITS.notchesPerHalf.min).max(LIMITS.notchesPerHalf.max),
  foldRad: within(LIMITS.foldRad),
});

export const extraStrip = z.object({ pieceId: id, widthMm: within(LIMITS.extraMm) });

export const sizeRange = z.object({
  heads: z.discriminatedUnion('kind', [
    z.object({
      kind: z.literal('steps'),
      fromMm: within(LIMITS.girthMm),
      toMm: within(LIMITS.girthMm),
      stepMm: within(LIMITS.sizeStepMm),
    }),
    z.object({ kind: z.literal('wearers'), wearerIds: z.array(id).max(MOST_HEADS) }),
  ]),
  mode: z.enum(['whole', 'along-wrap']),
});
