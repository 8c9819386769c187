/** The normal distribution at the place last asked for: one exponential serves density and distribution. */
export const NORMAL = { density: 0, distribution: 0 };

const INV_SQRT_2PI = 1 / Math.sqrt(2 * Math.PI);

/** Sets `NORMAL` for z; Abramowitz & Stegun 26.2.17: absolute error below 7.5e-8. */
export function setNormal(z: number): void {
  const size = z < 0 ? -z : z;
  if (size > 5) {
    NORMAL.density = 0;
    NORMAL.distribution = z < 0 ? 0 : 1;
    return;
  }
  const density = INV_SQRT_2PI * Math.exp(-0.5 * z * z);
  const t = 1 / (1 + 0.2316419 * size);
  const tail =
    density *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  NORMAL.density = density;
  NORMAL.distribution = z < 0 ? tail : 1 - tail;
}
