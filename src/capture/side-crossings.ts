/** Where colour changes across the stretches of a straight side: half-way crossings in linear light, under one blur. */
import { median } from '../geometry/median.ts';
import { type Curve, curveAt } from './side-curve.ts';
import { projected, type Stretch } from './side-profile.ts';
import { fitStep, type StepFit } from './step-fit.ts';

/** Reach of the fitted step in blurs, beside its pixel. */
const WINDOW_BLURS = 2.6;
/** Blurs tried, px. */
const BLURS = [0.6, 0.85, 1.2, 1.7, 2.4, 3.4];

/** The step of one stretch, and the colours just inside and outside it (square root of light). */
export interface Crossing {
  readonly fit: StepFit | undefined;
  readonly inside: readonly number[];
  readonly outside: readonly number[];
}

interface Crossings {
  readonly found: readonly Crossing[];
  readonly blurPx: number;
  /** Typical noise of the profiles as a share of the step. */
  readonly misfit: number;
}

/** Crossings of all stretches near a curve under one blur. */
function crossingsAt(stretches: readonly Stretch[], curve: Curve, blurPx: number): Crossings {
  const found = stretches.map((stretch) => {
    const start = curveAt(curve, stretch.t);
    // As narrow as the blur allows, so that what lies beside the edge has the least say.
    const windowPx = WINDOW_BLURS * blurPx + 1.5;
    const profile = projected(stretch, start, windowPx);
    return {
      fit: fitStep(profile, start, windowPx, blurPx),
      inside: profile.inside,
      outside: profile.outside,
    };
  });
  // Misfit as a share of the step, so that strong stretches do not decide alone; failures count as bad ones.
  const misfit = median(found.map(({ fit }) => (fit ? fit.noise / Math.max(1e-6, Math.abs(fit.step)) : 1)));
  return { found, blurPx, misfit };
}

/** Half-way crossings of all stretches near a curve, with the one blur that suits them best. */
export function crossings(stretches: readonly Stretch[], curve: Curve): Crossings {
  const trials = BLURS.map((blurPx) => crossingsAt(stretches, curve, blurPx));
  return trials.reduce((best, trial) => (trial.misfit < best.misfit ? trial : best));
}
