import type { ImagePoint } from '../geometry/point.ts';

/**
 * A closed line of points in the photo, px, with the material on the right hand when v points down: outlines run
 * clockwise as seen on the screen, holes the other way.
 */
export interface Contour {
  readonly u: Float64Array;
  readonly v: Float64Array;
}

/** Index `i` of a closed sequence of `count`. */
export function wrap(i: number, count: number): number {
  return i < 0 ? i + count * Math.ceil(-i / count) : i % count;
}

/** Each point becomes a Gaussian mean of its neighbours; `sigma` counts points. */
function smooth(values: Float64Array, sigma: number): Float64Array {
  const reach = Math.ceil(3 * sigma);
  const weights = Array.from({ length: 2 * reach + 1 }, (_, k) =>
    Math.exp(-0.5 * ((k - reach) / sigma) ** 2),
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return values.map((_, i) => {
    let sum = 0;
    for (let k = -reach; k <= reach; k++) sum += weights[k + reach]! * values[wrap(i + k, values.length)]!;
    return sum / total;
  });
}

/** Points at even steps of about `stepPx` along the closed line. */
export function resample({ u, v }: Contour, stepPx: number): Contour {
  const count = u.length;
  const along = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) {
    const next = (i + 1) % count;
    along[i + 1] = along[i]! + Math.hypot(u[next]! - u[i]!, v[next]! - v[i]!);
  }
  const length = along[count]!;
  const samples = Math.max(8, Math.round(length / stepPx));
  const to: Contour = { u: new Float64Array(samples), v: new Float64Array(samples) };
  for (let k = 0, i = 0; k < samples; k++) {
    const s = (k * length) / samples;
    while (along[i + 1]! < s) i++;
    const share = (s - along[i]!) / (along[i + 1]! - along[i]! || 1);
    const next = (i + 1) % count;
    to.u[k] = u[i]! + share * (u[next]! - u[i]!);
    to.v[k] = v[i]! + share * (v[next]! - v[i]!);
  }
  return to;
}

/** The staircase of a region's edge, smoothed over about `blockPx` and resampled at `stepPx`. */
export function contourOfStairs(places: readonly ImagePoint[], stepPx: number): Contour {
  const u = smooth(
    Float64Array.from(places, (place) => place.u),
    1.5,
  );
  const v = smooth(
    Float64Array.from(places, (place) => place.v),
    1.5,
  );
  return resample({ u, v }, stepPx);
}

/** Unit normals pointing away from the material, from chords over `reach` points either side. */
export function outwardNormals({ u, v }: Contour, reach: number): Contour {
  const count = u.length;
  const normals: Contour = { u: new Float64Array(count), v: new Float64Array(count) };
  for (let i = 0; i < count; i++) {
    const a = wrap(i - reach, count);
    const b = wrap(i + reach, count);
    const du = u[b]! - u[a]!;
    const dv = v[b]! - v[a]!;
    const length = Math.hypot(du, dv) || 1;
    normals.u[i] = dv / length;
    normals.v[i] = -du / length;
  }
  return normals;
}
