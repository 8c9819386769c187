/** What the parts of the document's schema are built from. */
import { z } from 'zod';
import { LONGEST_NAME, type Range } from './limits.ts';

export const within = ({ min, max }: Range) => z.number().min(min).max(max);
export const name = z.string().min(1).max(LONGEST_NAME);
export const id = z.string().regex(/^[\w.:-]{1,120}$/u);
/** Nothing on a worktable or in a photo lies farther away than this, in mm or px. */
export const coordinate = within({ min: -1e6, max: 1e6 });
export const planePoint = z.object({ x: coordinate, y: coordinate });
