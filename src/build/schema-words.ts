import { z } from 'zod';
import { LIMITS, LONGEST_WORDS } from './limits.ts';

/** Words written on a piece. */
export const lineWordsSchema = z.object({
  text: z.string().min(1).max(LONGEST_WORDS),
  sizeMm: z.number().min(LIMITS.wordsSizeMm.min).max(LIMITS.wordsSizeMm.max),
});
