/** Where the face of a card ends in a colour profile across its side: face, wall of the edge, shadow, open table. */
import { choleskyFactor, choleskySolve } from './linear-algebra.ts';
import { errorFunction } from './saddle.ts';

/** A colour profile: three values of linear light a sample, at evenly spaced places -reach .. reach. */
export interface ColorProfile {
  readonly colors: Float64Array;
  readonly stepPx: number;
  readonly reachPx: number;
}

/** What lies between the face and the open table; places are px outward from where the face ends. */
export interface EdgeStrips {
  /** Where the wall of the edge ends; 0 where the face hides it. */
  readonly footPx: number;
  /** Light of the wall, linear; grey, as cards are inside (common practice, no source). */
  readonly wall: number;
  /** Where the shadow on the table ends; where the wall ends, when there is none. */
  readonly shadowPx: number;
  /** What is left in the shadow of the light of the open table, 0 .. 1. */
  readonly shade: number;
}

/** What is known of the table beside a side before a single profile is looked at. */
export interface OpenTable {
  /** Its colour, linear light, and how many samples' worth that counts in each profile. */
  readonly color: readonly number[];
  readonly weight: number;
  /** How far single samples are from it. */
  readonly spread: number;
  /** So far out nothing but the open table lies, px from where the face seems to end. */
  readonly fromPx: number;
}

export interface EdgeFit {
  /** Where the face ends, px from the profile's middle. */
  readonly place: number;
  /** Their colours where they meet, linear light. */
  readonly face: readonly number[];
  readonly table: readonly number[];
  /** RMS misfits of a colour, linear light: along the whole window, and outside of the face alone. */
  readonly noise: number;
  readonly noiseOutside: number;
}

/** Levels and slopes of face and table, for each of the three colours. */
const N = 4;
const ROUNDS = 7;
/** Slopes of face and table are drawn towards 0 as if by this many square pixels of evidence. */
const SLOPE_RIDGE = 12;
/** Samples of the open table farther off than this many spreads are something else, such as a drawn line. */
const MOST_SPREADS = 2;
/** A place that moves farther than this share of the window has lost its edge. */
const MOST_MOVED = 0.7;

/** Light across the edge under one set of strips and one blur: what each unknown makes of a sample, filled anew for each. */
class EdgeModel {
  readonly basis = new Float64Array(N);
  /** Change of the light by the place. */
  readonly slope = new Float64Array(3);
  readonly face = [0, 0, 0];
  readonly table = [0, 0, 0];
  wallLight = 0;
  private density = 0;
  private readonly strips: EdgeStrips;
  private readonly blurPx: number;

  constructor(strips: EdgeStrips, blurPx: number) {
    this.strips = strips;
    this.blurPx = blurPx;
  }

  /** Share of the light past a blurred edge at `x` from it; leaves the density there. */
  private past(x: number): number {
    const z = x / (Math.SQRT2 * this.blurPx);
    const gauss = z * z > 23 ? 0 : Math.exp(-z * z);
    this.density = gauss / (this.blurPx * Math.sqrt(2 * Math.PI));
    return 0.5 + 0.5 * errorFunction(z, gauss);
  }

  /** For a sample `x` px outward of the face's end. */
  fill(x: number): void {
    const { footPx, wall, shadowPx, shade } = this.strips;
    const { basis, slope, face, table, blurPx } = this;
    const pastFace = this.past(x);
    const atFace = this.density;
    const pastFoot = footPx > 0 ? this.past(x - footPx) : pastFace;
    const atFoot = this.density;
    const pastShadow = shadowPx > footPx ? this.past(x - shadowPx) : pastFoot;
    const atShadow = this.density;
    basis[0] = 1 - pastFace;
    basis[1] = shade * (pastFoot - pastShadow) + pastShadow;
    basis[2] = x * (1 - pastFace) - blurPx * blurPx * atFace;
    basis[3] = (x - shadowPx) * pastShadow + blurPx * blurPx * atShadow;
    this.wallLight = wall * (pastFace - pastFoot);
    for (let c = 0; c < 3; c++) {
      const level = table[c]!;
      slope[c] =
        (face[c]! - wall) * atFace + (wall - shade * level) * atFoot + (shade - 1) * level * atShadow;
    }
  }
}

/** The samples of a profile that a fit looks at, and how much each of them counts. */
interface Window {
  readonly first: number;
  readonly weights: Float64Array;
}

function windowOf(
  { colors, stepPx, reachPx }: ColorProfile,
  start: number,
  windowPx: number,
  shadowPx: number,
  open: OpenTable,
): Window {
  const first = Math.max(0, Math.ceil((start - windowPx + reachPx) / stepPx));
  const last = Math.min(colors.length / 3 - 1, Math.floor((start + shadowPx + windowPx + reachPx) / stepPx));
  const limit = MOST_SPREADS * open.spread;
  const weights = Float64Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => {
    if ((first + i) * stepPx - reachPx - start < open.fromPx) return 1;
    const off =
      Math.hypot(...open.color.map((level, c) => colors[3 * (first + i) + c]! - level)) / Math.sqrt(3);
    return off > limit ? (limit / off) ** 2 : 1;
  });
  return { first, weights };
}

/** One Gauss-Newton round: fills the coefficients (levels and slopes, colour by colour) and gives the place's move; undefined where nothing tells. */
function improve(
  profile: ColorProfile,
  { first, weights }: Window,
  model: EdgeModel,
  place: number,
  open: OpenTable,
  coefficients: Float64Array,
  movesToo: boolean,
): number | undefined {
  const { basis, slope } = model;
  const a = new Float64Array(N * N);
  const g = new Float64Array(3 * N);
  const h = new Float64Array(3 * N);
  let [top, bottom] = [0, 1e-9];
  weights.forEach((weight, i) => {
    model.fill((first + i) * profile.stepPx - profile.reachPx - place);
    for (let j = 0; j < N; j++) for (let k = 0; k <= j; k++) a[j * N + k]! += weight * basis[j]! * basis[k]!;
    for (let c = 0; c < 3; c++) {
      const value = profile.colors[3 * (first + i) + c]! - model.wallLight;
      for (let j = 0; j < N; j++) {
        g[c * N + j]! += weight * basis[j]! * value;
        h[c * N + j]! += weight * basis[j]! * slope[c]!;
      }
      top += weight * slope[c]! * value;
      bottom += weight * slope[c]! * slope[c]!;
    }
  });
  for (const k of [2, 3]) a[k * N + k]! += SLOPE_RIDGE / profile.stepPx;
  a[N + 1]! += open.weight;
  open.color.forEach((level, c) => {
    g[c * N + 1]! += open.weight * level;
  });
  const factor = choleskyFactor(a, N);
  if (!factor) return undefined;
  const [levels, shares] = [new Float64Array(3 * N), new Float64Array(3 * N)];
  for (let at = 0; at < 3 * N; at += N) {
    levels.set(choleskySolve(factor, N, g.subarray(at, at + N)), at);
    shares.set(choleskySolve(factor, N, h.subarray(at, at + N)), at);
  }
  for (let k = 0; k < 3 * N; k++) {
    top -= h[k]! * levels[k]!;
    bottom -= h[k]! * shares[k]!;
  }
  const move = movesToo ? Math.max(-1, Math.min(1, top / bottom)) : 0;
  for (let k = 0; k < 3 * N; k++) coefficients[k] = levels[k]! - shares[k]! * move;
  for (let c = 0; c < 3; c++) {
    model.face[c] = coefficients[c * N]!;
    model.table[c] = coefficients[c * N + 1]!;
  }
  return move;
}

/** RMS misfits along the whole window, and outside of the face alone. */
function misfits(
  { colors, stepPx, reachPx }: ColorProfile,
  { first, weights }: Window,
  model: EdgeModel,
  place: number,
  outsidePx: number,
  coefficients: Float64Array,
): readonly [number, number] {
  const squares = [0, 0];
  const whole = [1e-9, 1e-9];
  weights.forEach((weight, i) => {
    const x = (first + i) * stepPx - reachPx - place;
    model.fill(x);
    let square = 0;
    for (let c = 0; c < 3; c++) {
      let light = model.wallLight;
      for (let k = 0; k < N; k++) light += model.basis[k]! * coefficients[c * N + k]!;
      square += (colors[3 * (first + i) + c]! - light) ** 2 / 3;
    }
    for (let part = 0; part < (x < outsidePx ? 1 : 2); part++) {
      squares[part]! += weight * square;
      whole[part]! += weight;
    }
  });
  return [Math.sqrt(squares[0]! / whole[0]!), Math.sqrt(squares[1]! / whole[1]!)];
}

/**
 * Fits face, strips and table, all blurred by a Gaussian of `blurPx`, to the part of a profile that reaches `windowPx`
 * beyond the face's end and the shadow's: one place for all three colours, levels and gentle slopes for each of them
 * (Gauss-Newton with the linear unknowns solved for; Golub & Pereyra 1973, from memory). Undefined when there is no edge.
 */
export function fitEdge(
  profile: ColorProfile,
  start: number,
  windowPx: number,
  blurPx: number,
  strips: EdgeStrips,
  open: OpenTable,
): EdgeFit | undefined {
  const window = windowOf(profile, start, windowPx, strips.shadowPx, open);
  if (window.weights.length <= 2 * N) return undefined;
  const model = new EdgeModel(strips, blurPx);
  const coefficients = new Float64Array(3 * N);
  let place = start;
  for (let round = 0; round < ROUNDS; round++) {
    // The first round only finds the levels.
    const move = improve(profile, window, model, place, open, coefficients, round > 0);
    if (move === undefined) return undefined;
    place += move;
    if (!(Math.abs(place - start) < MOST_MOVED * windowPx)) return undefined;
    if (round > 2 && Math.abs(move) < 3e-3) break;
  }
  const [noise, noiseOutside] = misfits(profile, window, model, place, 0.5 * blurPx, coefficients);
  return { place, face: [...model.face], table: [...model.table], noise, noiseOutside };
}
