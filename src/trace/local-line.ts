import { type Contour, wrap } from './contour.ts';

/** A straight line through a few neighbouring points: a point on it next to the sample, and its direction. */
export interface LocalLine {
  u: number;
  v: number;
  directionU: number;
  directionV: number;
  /** Root mean square distance of the points from it, px, or half the sample's own, whichever is more. */
  misfit: number;
}

/** Fits the line to points `first`..`last` (cyclic) by total least squares and lays it beside sample `at`. */
function fitLine({ u, v }: Contour, at: number, first: number, last: number, into: LocalLine): void {
  const count = u.length;
  const points = last - first + 1;
  let mu = 0;
  let mv = 0;
  for (let k = first; k <= last; k++) {
    mu += u[wrap(k, count)]! / points;
    mv += v[wrap(k, count)]! / points;
  }
  let uu = 0;
  let uv = 0;
  let vv = 0;
  for (let k = first; k <= last; k++) {
    const du = u[wrap(k, count)]! - mu;
    const dv = v[wrap(k, count)]! - mv;
    uu += du * du;
    uv += du * dv;
    vv += dv * dv;
  }
  const angle = 0.5 * Math.atan2(2 * uv, uu - vv);
  let [du, dv] = [Math.cos(angle), Math.sin(angle)];
  const [a, b] = [wrap(first, count), wrap(last, count)];
  if (du * (u[b]! - u[a]!) + dv * (v[b]! - v[a]!) < 0) [du, dv] = [-du, -dv];
  const along = (u[at]! - mu) * du + (v[at]! - mv) * dv;
  into.u = mu + along * du;
  into.v = mv + along * dv;
  into.directionU = du;
  into.directionV = dv;
  const across = uu * dv * dv - 2 * uv * du * dv + vv * du * du;
  // A line that misses the sample itself is another side's.
  const missed = Math.abs((u[at]! - mu) * dv - (v[at]! - mv) * du);
  into.misfit = Math.max(Math.sqrt(Math.max(0, across) / points), 0.5 * missed);
}

/**
 * The straightest line through a sample's neighbourhood: centred on it, or on one side only where a corner lies on
 * the other side, so that corners are not smeared (the idea of Kuwahara's edge-keeping smoothing, 1976).
 */
export function straightestLine(contour: Contour, at: number, reach: number, into: LocalLine): void {
  const trial = { ...into };
  fitLine(contour, at, at - reach, at + reach, into);
  const centred = into.misfit;
  for (const [first, last] of [
    [at - 2 * reach, at],
    [at, at + 2 * reach],
  ] as const) {
    fitLine(contour, at, first, last, trial);
    // A one-sided line must be clearly straighter, since it says less about the sample itself.
    if (trial.misfit < 0.5 * centred && trial.misfit < into.misfit) Object.assign(into, trial);
  }
}
