/**
 * Asks a piece that is said to be as thin as paper whether its edge shows a side wall. A wall's other edge runs beside
 * the traced one (outside it when the top edge was traced, inside when the foot was) at a distance that follows from
 * its height and the way the outline faces: one height explains it all along the sides that face the camera's foot
 * point, and nothing is there on the sides that face away. A shadow follows the light instead, and is soft.
 */
import type { Camera } from '../capture/camera.ts';
import type { Raster } from '../vision/raster.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { newWallProfile, readWallProfile, type WallProfile } from './wall-profile.ts';
import { viewWalls, type WallView } from './wall-view.ts';

/** A side wall that shows along an outline. */
export interface SideWall {
  /** Height by the picture, mm; left out when the picture does not settle it. */
  readonly heightMm?: number;
}

/** Heights asked about, mm: stout card to the thickest foam sheets in use. Lower ones serve to compare with. */
const STEP_MM = 0.25;
const LEAST_MM = 1.5;
const MOST_MM = 15;
const HEIGHTS = Array.from({ length: Math.round(MOST_MM / STEP_MM) + 1 }, (_, k) => k * STEP_MM);
/** The lean of upright lines is taken at this height, mm: for others it changes in proportion, to two hundredths. */
const VIEWED_MM = 6;
/** Wall edges nearer than this to the traced one hide in its blur, further ones are not looked for, px. */
const NEAREST_PX = 5;
const FURTHEST_PX = 80;
/** Samples of one stretch, and which of them are looked at. */
const STRETCH = 16;
const STRIDE = 2;
/** A stretch that faces the camera's foot point, or away from it, does so by this share at least. */
const LEAST_FACING = 0.3;
/** A step of light (logarithm) smaller than this, or this near its own doubt, is none. */
const LEAST_STEP = 0.03;
const LEAST_OVER_DOUBT = 4;
const DOUBT_FLOOR = 0.01;
/** A sharp step is weaker by this factor so many px away on both sides; the soft rim of a shadow is not. */
const SOFT_SHARE = 0.6;
const SOFT_AWAY_PX = 4;
/** A wall differs from its table in hue by this share of the step of light; shadows of tinted light stay below it. */
const HUE_SHARE = 0.3;
/** A wall's edge counts for a height when it lies this near the place where that height has it. */
const NEAR_PX = 1.2;
const NEAR_SHARE = 0.03;
/** Stretches that must be able to show a height, the share of them that must, and how much rarer it is on the far sides. */
const LEAST_STRETCHES = 8;
const LEAST_SHARE = 0.5;
const FAR_SIDE_SHARE = 0.4;
/** Heights nearly as well shown as the best one spread over this share of it at most, or the height is not settled. */
const NEARLY = 0.9;
const SETTLED_SPREAD = 0.4;

/** The steps of light beside one stretch of the outline, for each height: outside it, and inside. */
interface Look {
  /** Wall width for each mm of height, px. */
  readonly pxPerMm: number;
  /** Sizes of the steps, and whether each stands out from its doubt. */
  readonly steps: readonly [Float64Array, Float64Array];
  readonly standsOut: readonly [Uint8Array, Uint8Array];
}

/** A plane's level beyond a place less that before it, `x` whole px along the normal, without the pixel between. */
function stepAt({ sums, first, last }: WallProfile, plane: number, x: number): number {
  const sum = sums[plane]!;
  const at = Math.max(first + 2, Math.min(last - 2, x)) - first;
  return (sum[at + 3]! - sum[at + 1]! - sum[at]! + sum[at - 2]!) / 2;
}

/** Whether a step outside the edge may be the rim of a shadow: darker before it, and of the table's own hue. */
function mayBeShadow(step: number, redStep: number, blueStep: number): boolean {
  return step > 0 && Math.hypot(redStep, blueStep) < HUE_SHARE * step;
}

/** Looks beside the stretch that begins at a sample. */
function lookBeside(
  photo: Raster,
  edge: RefinedEdge,
  view: WallView,
  start: number,
  profile: WallProfile,
): Look {
  const count = Math.ceil(STRETCH / STRIDE);
  const column = () => [new Float64Array(HEIGHTS.length), new Float64Array(HEIGHTS.length)] as const;
  const [sums, squares, hues] = [column(), column(), column()];
  let pxPerMm = 0;
  for (let i = start; i < start + STRETCH; i += STRIDE) {
    const width = (Math.abs(view.facing[i]!) * view.leanPx[i]!) / VIEWED_MM;
    const reach = Math.min(FURTHEST_PX, Math.ceil(width * MOST_MM)) + 3;
    pxPerMm += width / count;
    const [u, v, nu, nv] = [edge.u[i]!, edge.v[i]!, edge.normalU[i]!, edge.normalV[i]!];
    readWallProfile(photo, u, v, nu, nv, 0, -reach, reach, profile);
    for (const [k, height] of HEIGHTS.entries()) {
      const x = Math.round(width * height);
      for (const side of [0, 1] as const) {
        const step = stepAt(profile, 0, side === 0 ? x : -x);
        sums[side][k]! += step;
        squares[side][k]! += step * step;
      }
      hues[0][k]! += stepAt(profile, 1, x);
      hues[1][k]! += stepAt(profile, 2, x);
    }
  }
  const steps = [sums[0].map((sum) => Math.abs(sum) / count), sums[1].map((sum) => Math.abs(sum) / count)];
  const standsOut = steps.map((all, side) =>
    Uint8Array.from(all, (step, k) => {
      const variance = Math.max(0, squares[side]![k]! / count - step * step);
      const doubt = DOUBT_FLOOR + Math.sqrt(variance / count);
      return step > LEAST_STEP && step > LEAST_OVER_DOUBT * doubt ? 1 : 0;
    }),
  );
  for (let k = 0; k < HEIGHTS.length; k++) {
    if (mayBeShadow(sums[0][k]!, hues[0][k]!, hues[1][k]!)) standsOut[0]![k] = 0;
  }
  return { pxPerMm, steps: [steps[0]!, steps[1]!], standsOut: [standsOut[0]!, standsOut[1]!] };
}

/** Whether a stretch shows a sharp step where a wall of one height would have its other edge. */
function shows({ pxPerMm, steps, standsOut }: Look, height: number): boolean {
  const near = Math.max(NEAR_PX / pxPerMm, NEAR_SHARE * height);
  const away = Math.max(1, Math.round(SOFT_AWAY_PX / pxPerMm / STEP_MM));
  const [from, to] = [Math.ceil((height - near) / STEP_MM), Math.floor((height + near) / STEP_MM)];
  for (const side of [0, 1] as const) {
    for (let k = Math.max(0, from); k <= Math.min(to, HEIGHTS.length - 1); k++) {
      if (standsOut[side][k] === 0) continue;
      const around = Math.max(steps[side][k - away] ?? 0, steps[side][k + away] ?? 0);
      if (around < SOFT_SHARE * steps[side][k]!) return true;
    }
  }
  return false;
}

/** Share of the stretches that show a height, of those that can; undefined when they are too few to tell. */
function shareShowing(looks: readonly Look[], height: number): number | undefined {
  const able = looks.filter(({ pxPerMm }) => {
    const width = pxPerMm * height;
    return width >= NEAREST_PX && width <= FURTHEST_PX;
  });
  if (able.length < LEAST_STRETCHES) return undefined;
  return able.filter((look) => shows(look, height)).length / able.length;
}

/** The side wall that an outline shows, traced as if it had none; undefined when it shows none. */
export function findSideWall(photo: Raster, camera: Camera, edge: RefinedEdge): SideWall | undefined {
  const view = viewWalls(camera, edge, VIEWED_MM);
  const profile = newWallProfile(FURTHEST_PX + 4);
  const [near, far]: [Look[], Look[]] = [[], []];
  for (let start = 0; start + STRETCH <= edge.u.length; start += STRETCH) {
    const facing = view.facing[start + STRETCH / 2]!;
    if (Math.abs(facing) < LEAST_FACING) continue;
    (facing > 0 ? near : far).push(lookBeside(photo, edge, view, start, profile));
  }
  const shares = HEIGHTS.map((height) => shareShowing(near, height));
  const walls = HEIGHTS.map((height, k) => {
    const share = height < LEAST_MM ? 0 : (shares[k] ?? 0);
    return share > 0 && (shareShowing(far, height) ?? 0) <= FAR_SIDE_SHARE * share ? share : 0;
  });
  const best = Math.max(...walls);
  if (best < LEAST_SHARE) return undefined;
  const nearly = HEIGHTS.map((_, k) => k).filter((k) => walls[k]! >= NEARLY * best);
  const [lowest, highest] = [nearly[0]!, nearly[nearly.length - 1]!];
  const heightMm = (HEIGHTS[lowest]! + HEIGHTS[highest]!) / 2;
  // At either end of what can be looked for, the height that shows best need not be the true one.
  const isOpen = shares[lowest - 2] === undefined || highest === HEIGHTS.length - 1;
  return isOpen || (highest - lowest) * STEP_MM > SETTLED_SPREAD * heightMm ? {} : { heightMm };
}
