/** Where colour changes across the stretches of a straight side: half-way crossings in linear light, under one blur. */
import { median } from '../geometry/median.ts';
import { type Curve, curveAt, robustCurve } from './side-curve.ts';
import { projected, type Stretch } from './side-profile.ts';
import { fitStep, type StepFit } from './step-fit.ts';

/** Reach of the fitted step in blurs, beside its pixel. */
const WINDOW_BLURS = 2.6;
/** Blurs tried, px. */
const BLURS = [0.6, 0.85, 1.2, 1.7, 2.4, 3.4];
/**
 * Lights of a wall that are tried, linear, grey as cards are inside (common practice, no source); fits count as so many
 * measurements in telling them apart.
 */
const WALLS = [0.02, 0.05, 0.1, 0.16, 0.25, 0.4, 0.6];
const WALL_EVIDENCE = 12;

/** The step of one stretch, and the colours just inside and outside it (square root of light). */
export interface Crossing {
  readonly fit: StepFit | undefined;
  readonly inside: readonly number[];
  readonly outside: readonly number[];
}

export interface Crossings {
  readonly found: readonly Crossing[];
  readonly blurPx: number;
  /** Typical noise of the profiles as a share of the step. */
  readonly misfit: number;
  /** The unevenness of the places together with what the profiles' noise makes of it, px. */
  readonly offPx: number;
}

/** Crossings of all stretches near a curve under one blur and one light of the edge's wall. */
function crossingsAt(
  stretches: readonly Stretch[],
  curve: Curve,
  blurPx: number,
  bowPx: number,
  wall?: number,
): Crossings {
  const found = stretches.map((stretch) => {
    const start = curveAt(curve, stretch.t);
    const widthPx = wall === undefined ? 0 : Math.max(0, stretch.wallPx);
    // As narrow as the blur allows, so that what lies beside the edge has the least say.
    const windowPx = WINDOW_BLURS * blurPx + 1.5;
    const profile = projected(stretch, start, windowPx, widthPx);
    const strip = { widthPx, level: (wall ?? 0) * profile.grey };
    return {
      fit: fitStep(profile, start, windowPx, blurPx, strip),
      inside: profile.inside,
      outside: profile.outside,
    };
  });
  // Misfit as a share of the step, so that strong stretches do not decide alone; failures count as bad ones.
  const misfit = median(found.map(({ fit }) => (fit ? fit.noise / Math.max(1e-6, Math.abs(fit.step)) : 1)));
  const placed = found.flatMap(({ fit }, i) => (fit ? [{ t: stretches[i]!.t, place: fit.place }] : []));
  const uneven =
    placed.length < 4 || wall === undefined ? 0 : robustCurve(placed, curve, 0.04, bowPx).spreadPx;
  return { found, blurPx, misfit, offPx: Math.hypot(misfit * blurPx, uneven) };
}

const least = (trials: readonly Crossings[], of: (trial: Crossings) => number): Crossings =>
  trials.reduce((best, trial) => (of(trial) < of(best) ? trial : best));

/** Half-way crossings of all stretches near a curve, with the one blur that suits them best. */
export function crossings(stretches: readonly Stretch[], curve: Curve, bowPx: number): Crossings {
  const trials = BLURS.map((blurPx) => crossingsAt(stretches, curve, blurPx, bowPx));
  return least(trials, ({ misfit }) => misfit);
}

/** Crossings where the wall of the edge shows beside the face: its light is not known, so every likely one has its say. */
export function crossingsBesideWall(stretches: readonly Stretch[], curve: Curve, bowPx: number): Crossings {
  const offPx = (trial: Crossings): number => trial.offPx;
  const trials = WALLS.map((wall) =>
    least(
      BLURS.map((blurPx) => crossingsAt(stretches, curve, blurPx, bowPx, wall)),
      offPx,
    ),
  );
  const best = least(trials, offPx);
  const weights = trials.map((trial) => (best.offPx / trial.offPx) ** WALL_EVIDENCE);
  const found = best.found.map((crossing, i) => {
    if (!crossing.fit) return crossing;
    let [sum, whole] = [0, 0];
    trials.forEach(({ found: other }, k) => {
      const { fit } = other[i]!;
      if (!fit) return;
      sum += weights[k]! * fit.place;
      whole += weights[k]!;
    });
    return { ...crossing, fit: { ...crossing.fit, place: sum / whole } };
  });
  return { ...best, found };
}
