/**
 * What "±" means wherever a maker meets it: on the screen, in print, in files and in sentences. The engine keeps
 * tolerances as one sigma, the form in which doubts add up; whatever states one to a person goes through here.
 */

/** Of normally scattered errors 95.4 % lie within two sigma. */
export const STATED_SIGMAS = 2;

/** How often a stated tolerance holds, in the maker's words. */
export const STATED_WORDS = '95 times in 100';

/** The tolerance to state for one of one sigma, in the same unit. */
export function statedTolerance(oneSigma: number): number {
  return STATED_SIGMAS * oneSigma;
}
