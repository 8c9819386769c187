import fc from 'fast-check';

/** Same cases in every run, so that a failure is the change's; FAST_CHECK_SEED=random looks for new ones. */
const FIXED_SEED = 20261125;
const asked = process.env.FAST_CHECK_SEED;

if (asked !== 'random') fc.configureGlobal({ seed: asked === undefined ? FIXED_SEED : Number(asked) });
