import { failure } from '../outcome.ts';

/** A photo whose bytes this browser no longer has. */
export const PHOTO_MISSING = failure(
  'photo-missing',
  'The photo is no longer kept in this browser, so it cannot be measured again. The pieces traced from it are kept; to measure again, add the photo once more.',
);
