import { median } from '../geometry/median.ts';
import type { Raster } from '../vision/raster.ts';
import { type Clearance, clearances } from './clearance.ts';
import { wrap } from './contour.ts';
import type { RefinedEdge } from './refine-edge.ts';
import { newWallProfile, PLANES, readWallProfile, type WallProfile } from './wall-profile.ts';

/** Beyond the reach inwards the face is taken for granted over this depth, px; less is asked of narrow places. */
const FACE_DEPTH_PX = 10;
const LEAST_FACE_PX = 4;
/** The edge may lie this far outside its traced place, px; another stretch of the contour is blurred this far. */
export const OUTWARD_PX = 5;
const BLUR_REACH_PX = 3;
/** Samples either way over which the face's tone is learned. */
const TONE_REACH = 30;
/** How uneven the face is taken to be at least, one sigma of a place of the profile, for each plane. */
const LEAST_UNEVEN = 0.015;
/** Nine in ten deviations are smaller than 1.645 sigma (normal distribution); a JPEG's hue is level but for rare steps. */
const WIDE_SHARE = 0.9;
const SIGMA_OF_WIDE = 1 / 1.645;
/** Fewer neighbours than this tell no tone. */
const LEAST_NEAR = 5;
/** Against a place that is something else, one that is the face costs half its squared distance from the tone less this. */
const NOT_FACE = 6;
const MOST_UNLIKE = 12;
/** What bleeds into a place does so in hue by this much more: a JPEG keeps hue at half the resolution. */
const HUE_BLEED = 2;

/** Levels of the face along a contour, each plane of the profile by sample, and how uneven it is (one sigma of a place). */
export interface FaceTone {
  readonly levels: readonly Float64Array[];
  readonly uneven: readonly number[];
}

/** Everything about one contour that reading beside it shares. */
export interface Look {
  readonly photo: Raster;
  readonly edge: RefinedEdge;
  readonly clear: Clearance;
  /** How far inside the contour its face may end, px. */
  readonly reachPx: number;
  readonly profile: WallProfile;
}

export function lookInside(photo: Raster, edge: RefinedEdge, reachPx: number): Look {
  const normals = { u: edge.normalU, v: edge.normalV };
  const all = reachPx + FACE_DEPTH_PX + OUTWARD_PX + BLUR_REACH_PX;
  return { photo, edge, clear: clearances(edge, normals, all), reachPx, profile: newWallProfile(all) };
}

/** Reads the profile of a sample, no further than to other stretches of the contour; returns how far inwards it goes. */
export function readSample({ photo, edge, clear, reachPx, profile }: Look, i: number): number {
  const inward = Math.min(reachPx + FACE_DEPTH_PX, Math.floor(clear.inwardPx[i]! - BLUR_REACH_PX));
  const outward = Math.min(OUTWARD_PX, Math.floor(clear.outwardPx[i]! - BLUR_REACH_PX));
  readWallProfile(
    photo,
    edge.u[i]!,
    edge.v[i]!,
    edge.normalU[i]!,
    edge.normalV[i]!,
    0,
    -Math.max(1, inward),
    Math.max(0, outward),
    profile,
  );
  return inward;
}

const rankOf = (values: readonly number[] | Float64Array, share: number): number =>
  Float64Array.from(values).sort()[Math.floor(share * values.length)] ?? 0;

/** The face's tone along the contour, learned deep inside: middles over neighbouring samples, and how places differ from them. */
export function learnFace(look: Look): FaceTone | undefined {
  const count = look.edge.u.length;
  const deep = Array.from({ length: PLANES }, () => new Float64Array(count * FACE_DEPTH_PX).fill(Number.NaN));
  const means = Array.from({ length: PLANES }, () => new Float64Array(count).fill(Number.NaN));
  for (let i = 0; i < count; i++) {
    const depth = Math.min(FACE_DEPTH_PX, readSample(look, i) - look.reachPx);
    if (depth < LEAST_FACE_PX) continue;
    for (let p = 0; p < PLANES; p++) {
      let sum = 0;
      for (let k = 0; k < depth; k++) {
        const value = look.profile.planes[p]![k]!;
        deep[p]![i * FACE_DEPTH_PX + k] = value;
        sum += value;
      }
      means[p]![i] = sum / depth;
    }
  }
  const known = means.map((values) => values.filter((value) => !Number.isNaN(value)));
  if (known[0]!.length === 0) return undefined;
  const levels = means.map((values, p) => {
    const whole = median(known[p]!);
    return values.map((_, i) => {
      const near: number[] = [];
      for (let k = -TONE_REACH; k <= TONE_REACH; k += 2) {
        const value = values[wrap(i + k, count)]!;
        if (!Number.isNaN(value)) near.push(value);
      }
      return near.length >= LEAST_NEAR ? median(near) : whole;
    });
  });
  const uneven = deep.map((values, p) => {
    const off = values
      .map((value, at) => Math.abs(value - levels[p]![Math.floor(at / FACE_DEPTH_PX)]!))
      .filter((value) => !Number.isNaN(value));
    return Math.max(LEAST_UNEVEN, SIGMA_OF_WIDE * rankOf(off, WIDE_SHARE));
  });
  return { levels, uneven };
}

/** How much less the place at `x` looks like the face than like anything else, when a share `bleed` of `steps` bleeds into it. */
export function unlikeFace(
  { planes, first }: WallProfile,
  face: FaceTone,
  i: number,
  x: number,
  bleed: number,
  steps: Float64Array,
): number {
  let square = 0;
  for (let p = 0; p < PLANES; p++) {
    const sigma = Math.hypot(face.uneven[p]!, bleed * steps[p]!);
    square += ((planes[p]![x - first]! - face.levels[p]![i]!) / sigma) ** 2;
  }
  return Math.min(MOST_UNLIKE, square / 2) - NOT_FACE;
}

/** How much of each plane changes at a place, as a share of the face's linear light. */
export function stepsAt(
  { planes, first }: WallProfile,
  face: FaceTone,
  i: number,
  x: number,
  into: Float64Array,
): void {
  const [light, redness, blueness] = planes.map((plane, p) => plane[x - first]! - face.levels[p]![i]!);
  const green = light! - (redness! + blueness!) / 3;
  const [r, g, b] = [Math.expm1(green + redness!), Math.expm1(green), Math.expm1(green + blueness!)];
  into[0] = Math.abs(r + g + b) / 3;
  into[1] = HUE_BLEED * Math.abs(r - g);
  into[2] = HUE_BLEED * Math.abs(b - g);
}
