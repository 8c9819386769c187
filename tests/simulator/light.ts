import type { Light } from './scene.ts';

/** Strength of the unshadowed light at a place on the table, relative to the light's colour. */
export function irradiance(light: Light, x: number, y: number): number {
  const dx = x - light.centre.x;
  const dy = y - light.centre.y;
  const spread = Number.isFinite(light.halfAtMm) ? 1 / (1 + (dx * dx + dy * dy) / light.halfAtMm ** 2) : 1;
  return Math.max(0.02, spread * (1 + light.gradientPerMm.x * dx + light.gradientPerMm.y * dy));
}

/** Light mirrored into the lens at a place on the table, for a fully glossy face. */
export function glareAt(light: Light, x: number, y: number): number {
  const { glare } = light;
  if (!glare) return 0;
  const d2 = ((x - glare.centre.x) ** 2 + (y - glare.centre.y) ** 2) / glare.radiusMm ** 2;
  return d2 > 12 ? 0 : glare.strength * Math.exp(-d2);
}

/** Lambert's cosine on a face with slope (sx, sy), relative to a level face. */
export function slopeGain(light: Light, slopeX: number, slopeY: number): number {
  const cosine = (1 - slopeX * light.towards.x - slopeY * light.towards.y) / Math.hypot(1, slopeX, slopeY);
  return light.ambient + (1 - light.ambient) * Math.max(0, cosine);
}

/** Lambert's cosine on an upright wall with outward normal (nx, ny), relative to a level face. */
export function wallGain(light: Light, normalX: number, normalY: number): number {
  const cosine = normalX * light.towards.x + normalY * light.towards.y;
  // An upright wall sees half of the light from all round.
  return 0.5 * light.ambient + (1 - light.ambient) * Math.max(0, cosine);
}
