/** Wearers, foams and how pieces go round the head: fit-types.ts said again in zod. */
import { z } from 'zod';
import { LIMITS } from './limits.ts';
import { id, name, planePoint, within } from './schema-parts.ts';

const MOST_PLACES = 50;

export const wearer = z.object({
  id,
  name,
  girthMm: within(LIMITS.girthMm),
  headLengthMm: within(LIMITS.headLengthMm).exactOptional(),
  headBreadthMm: within(LIMITS.headBreadthMm).exactOptional(),
  earToEarMm: within(LIMITS.earToEarMm).exactOptional(),
  browToNapeMm: within(LIMITS.browToNapeMm).exactOptional(),
  browToChinMm: within(LIMITS.browToChinMm).exactOptional(),
  earToBrowMm: within(LIMITS.earToBrowMm).exactOptional(),
});

export const foam = z.object({
  id,
  name,
  thicknessMm: within(LIMITS.foamThicknessMm),
  neutralK: within(LIMITS.neutralK),
  doubtK: within(LIMITS.doubtK).exactOptional(),
  bendTest: z
    .object({
      stripMm: within(LIMITS.testStripMm),
      drumMm: within(LIMITS.testStripMm),
      gapMm: within(LIMITS.testGapMm),
      readingMm: within(LIMITS.readingMm),
    })
    .exactOptional(),
});

export const wrapPlan = z.object({
  coverageRad: within(LIMITS.coverageRad),
  line: z.object({ from: planePoint, to: planePoint, along: z.enum(['straight', 'edge']) }).exactOptional(),
  easeMm: within(LIMITS.easeMm),
  hold: z.enum(['tension', 'ears', 'cross-bar']).exactOptional(),
  overFoamId: id.exactOptional(),
});

export const lining = z.object({
  linerMm: within(LIMITS.liningMm),
  paddingMm: within(LIMITS.liningMm),
});

export const round = z.object({
  id,
  places: z
    .array(z.object({ pieceId: id }))
    .min(1)
    .max(MOST_PLACES),
  closesAt: z.enum(['front', 'back', 'beside-first']),
});
