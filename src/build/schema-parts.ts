/** What the parts of the document's schema are built from. */
import { z } from 'zod';
import { FARTHEST, LONGEST_NAME, type Range } from './limits.ts';

export const within = ({ min, max }: Range) => z.number().min(min).max(max);
export const name = z.string().min(1).max(LONGEST_NAME);
export const id = z.string().regex(/^[\w.:-]{1,120}$/u);
export const coordinate = within({ min: -FARTHEST, max: FARTHEST });
export const planePoint = z.object({ x: coordinate, y: coordinate });
export const imagePoint = z.object({ u: coordinate, v: coordinate });
