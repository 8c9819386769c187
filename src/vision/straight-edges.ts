import { median5 } from './mats.ts';
import type { Vision } from './opencv.ts';
import type { PixelPlace } from './polygon-mask.ts';
import type { ReducedPhoto } from './reduce.ts';

/** Change of colour at every reduced pixel: strength per pixel on a scale as the eye has it, and direction. */
export interface EdgeField {
  readonly width: number;
  readonly height: number;
  readonly strength: Float32Array;
  readonly du: Float32Array;
  readonly dv: Float32Array;
  /** Square roots of the channels' light. */
  readonly planes: readonly Float32Array[];
}

/** A straight edge in reduced pixels, from end to end. */
export interface StraightEdge {
  readonly from: PixelPlace;
  readonly to: PixelPlace;
  readonly lengthPx: number;
  /** How far the colours to either side of it are apart: a drawn line has a strong edge but the same on both sides. */
  readonly step: number;
}

/** Upright box in reduced pixels. */
export interface ReducedBox {
  readonly minU: number;
  readonly minV: number;
  readonly maxU: number;
  readonly maxV: number;
}

/** Neighbours join an edge while their direction is within this of it (Grompone von Gioi et al., "LSD", 2010). */
const SAME_DIRECTION = Math.cos(Math.PI / 16);
/** Weaker changes than this are texture and noise: share of the eye's scale, 0..1, per pixel. */
const LEAST_STRENGTH = 0.009;
/** An edge's pixels may lie this far from its line, px (RMS). */
const THICKEST_PX = 1.6;

/**
 * Gradient of the channel that changes most, on the square root of light (close to how sRGB codes it). A median first:
 * lines drawn on a cutting mat vanish, edges between areas stay.
 */
export function edgeField(vision: Vision, { width, height, red, green, blue }: ReducedPhoto): EdgeField {
  const strength = new Float32Array(width * height);
  const du = new Float32Array(width * height);
  const dv = new Float32Array(width * height);
  const planes = [red, green, blue].map((plane) => median5(vision, plane.map(Math.sqrt), width, height));
  for (let row = 1; row < height - 1; row++) {
    for (let column = 1; column < width - 1; column++) {
      const at = row * width + column;
      for (const p of planes) {
        // Scharr's kernel, which keeps directions true.
        const u =
          (3 * (p[at - width + 1]! - p[at - width - 1]! + p[at + width + 1]! - p[at + width - 1]!) +
            10 * (p[at + 1]! - p[at - 1]!)) /
          32;
        const v =
          (3 * (p[at + width - 1]! - p[at - width - 1]! + p[at + width + 1]! - p[at - width + 1]!) +
            10 * (p[at + width]! - p[at - width]!)) /
          32;
        const size = Math.hypot(u, v);
        if (size > strength[at]!) {
          strength[at] = size;
          du[at] = u / size;
          dv[at] = v / size;
        }
      }
    }
  }
  return { width, height, strength, du, dv, planes };
}

/** The straight edge through a grown set of pixels: principal axis, weighted by strength; undefined when it is a blob. */
function edgeThrough(field: EdgeField, pixels: readonly number[]): StraightEdge | undefined {
  const { width, strength } = field;
  let [sw, su, sv] = [0, 0, 0];
  for (const at of pixels) {
    const w = strength[at]!;
    sw += w;
    su += w * (at % width);
    sv += w * Math.floor(at / width);
  }
  const [cu, cv] = [su / sw, sv / sw];
  let [uu, vv, uv] = [0, 0, 0];
  for (const at of pixels) {
    const w = strength[at]! / sw;
    const [a, b] = [(at % width) - cu, Math.floor(at / width) - cv];
    uu += w * a * a;
    vv += w * b * b;
    uv += w * a * b;
  }
  const across = (uu + vv - Math.hypot(uu - vv, 2 * uv)) / 2;
  if (Math.sqrt(Math.max(0, across)) > THICKEST_PX) return undefined;
  const angle = 0.5 * Math.atan2(2 * uv, uu - vv);
  const [eu, ev] = [Math.cos(angle), Math.sin(angle)];
  let [low, high] = [0, 0];
  for (const at of pixels) {
    const along = ((at % width) - cu) * eu + (Math.floor(at / width) - cv) * ev;
    low = Math.min(low, along);
    high = Math.max(high, along);
  }
  const from = { u: cu + low * eu, v: cv + low * ev };
  const to = { u: cu + high * eu, v: cv + high * ev };
  return { from, to, lengthPx: high - low, step: stepAcross(field, from, to) };
}

/** Mean difference of colour between this far to one side and to the other, px. */
const BESIDE_PX = 4;
const STEP_SAMPLES = 8;

function stepAcross({ width, height, planes }: EdgeField, from: PixelPlace, to: PixelPlace): number {
  const length = Math.hypot(to.u - from.u, to.v - from.v);
  const [nu, nv] = [(-(to.v - from.v) / length) * BESIDE_PX, ((to.u - from.u) / length) * BESIDE_PX];
  const colorAt = (u: number, v: number): number[] => {
    const column = Math.min(width - 1, Math.max(0, Math.round(u)));
    const row = Math.min(height - 1, Math.max(0, Math.round(v)));
    return planes.map((plane) => plane[row * width + column]!);
  };
  const sums = [0, 0, 0];
  for (let i = 0; i < STEP_SAMPLES; i++) {
    const t = (i + 0.5) / STEP_SAMPLES;
    const [u, v] = [from.u + t * (to.u - from.u), from.v + t * (to.v - from.v)];
    const [one, other] = [colorAt(u - nu, v - nv), colorAt(u + nu, v + nv)];
    for (let c = 0; c < 3; c++) sums[c]! += one[c]! - other[c]!;
  }
  return Math.hypot(...sums) / STEP_SAMPLES;
}

/** Straight edges of at least `leastPx` in a box, longest first. Light or dark may change sides only between edges. */
export function straightEdges(field: EdgeField, box: ReducedBox, leastPx: number): StraightEdge[] {
  const { width, strength, du, dv } = field;
  const left = Math.max(1, Math.floor(box.minU));
  const right = Math.min(width - 2, Math.ceil(box.maxU));
  const top = Math.max(1, Math.floor(box.minV));
  const bottom = Math.min(field.height - 2, Math.ceil(box.maxV));
  const used = new Uint8Array(strength.length);
  const seeds: number[] = [];
  for (let row = top; row <= bottom; row++) {
    for (let column = left; column <= right; column++) {
      const at = row * width + column;
      if (strength[at]! > LEAST_STRENGTH) seeds.push(at);
    }
  }
  seeds.sort((a, b) => strength[b]! - strength[a]!);
  const edges: StraightEdge[] = [];
  for (const seed of seeds) {
    if (used[seed]) continue;
    let [mu, mv] = [du[seed]!, dv[seed]!];
    const pixels = [seed];
    used[seed] = 1;
    for (let i = 0; i < pixels.length; i++) {
      const at = pixels[i]!;
      for (const step of [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1]) {
        const next = at + step;
        const [column, row] = [next % width, Math.floor(next / width)];
        if (column < left || column > right || row < top || row > bottom || used[next]) continue;
        if (strength[next]! < LEAST_STRENGTH) continue;
        const agreement = (du[next]! * mu + dv[next]! * mv) / Math.hypot(mu, mv);
        if (agreement < SAME_DIRECTION) continue;
        used[next] = 1;
        pixels.push(next);
        mu += du[next]!;
        mv += dv[next]!;
      }
    }
    if (pixels.length < leastPx) continue;
    const edge = edgeThrough(field, pixels);
    if (edge && edge.lengthPx >= leastPx) edges.push(edge);
  }
  return edges.sort((a, b) => b.lengthPx - a.lengthPx);
}
