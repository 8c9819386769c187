import { quantile } from './quantile.ts';
import type { TableDifference } from './table-field.ts';

/** How far each pixel is from the table and how sharply it changes there, in units of the table's own spread. */
export interface ZoneStrengths {
  readonly distance: Float32Array;
  /** Change per pixel. */
  readonly edge: Float32Array;
  /** 1 where the pixel could be table in shadow: darker than the table and of the same hue. */
  readonly shadowLike: Uint8Array;
}

/** A shadow's hue may drift by this much per unit of darkening (log light): lamps and sky differ in hue. */
const SHADOW_HUE_DRIFT = 0.12;
/** Hue within this many spreads of the table's is the table's. */
const SAME_HUE = 3.5;

/** Measures all three in one pass. */
export function measureStrengths(table: TableDifference): ZoneStrengths {
  const { width, height, light, redness, blueness, lightScale, rednessScale, bluenessScale } = table;
  const [kl, kr, kb] = [1 / lightScale, 1 / rednessScale, 1 / bluenessScale];
  const distance = new Float32Array(light.length);
  const edge = new Float32Array(light.length);
  const shadowLike = new Uint8Array(light.length);
  for (let row = 0, at = 0; row < height; row++) {
    const up = row > 0 ? -width : 0;
    const down = row < height - 1 ? width : 0;
    for (let column = 0; column < width; column++, at++) {
      const left = at - (column > 0 ? 1 : 0);
      const right = at + (column < width - 1 ? 1 : 0);
      const l = light[at]!;
      const r = redness[at]!;
      const b = blueness[at]!;
      distance[at] = Math.sqrt((l * kl) ** 2 + (r * kr) ** 2 + (b * kb) ** 2);
      const lu = (light[right]! - light[left]!) * kl;
      const ru = (redness[right]! - redness[left]!) * kr;
      const bu = (blueness[right]! - blueness[left]!) * kb;
      const lv = (light[at + down]! - light[at + up]!) * kl;
      const rv = (redness[at + down]! - redness[at + up]!) * kr;
      const bv = (blueness[at + down]! - blueness[at + up]!) * kb;
      edge[at] = 0.5 * Math.sqrt(lu * lu + ru * ru + bu * bu + lv * lv + rv * rv + bv * bv);
      const hue = Math.max(Math.abs(r) - SAME_HUE * rednessScale, Math.abs(b) - SAME_HUE * bluenessScale);
      if (l < 0 && hue < -SHADOW_HUE_DRIFT * l) shadowLike[at] = 1;
    }
  }
  return { distance, edge, shadowLike };
}

/** Every n-th pixel is enough for a quantile. */
const QUANTILE_STEP = 13;

/** The value below which `share` of a plane's values lie, among pixels where `where` is 1 (all, without it). */
export function planeQuantile(plane: Float32Array, share: number, where?: Uint8Array): number {
  const chosen = new Float32Array(Math.ceil(plane.length / QUANTILE_STEP));
  let count = 0;
  for (let at = 0; at < plane.length; at += QUANTILE_STEP) {
    if (!where || where[at]) chosen[count++] = plane[at]!;
  }
  return quantile(chosen.subarray(0, count), share);
}
