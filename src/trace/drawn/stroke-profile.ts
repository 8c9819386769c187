import { LINEAR_FROM_SRGB, type Raster } from '../../vision/raster.ts';

/** A photo of paper; on ruled paper with what is printed on it, 0/1, in blocks of `block` photo px. */
export interface PaperPhoto extends Raster {
  readonly printed?: { readonly mask: Uint8Array; readonly width: number; readonly block: number };
}

/** What a stroke looks like across, at one place of it. */
export interface ProfileReading {
  /** Distance of the stroke's middle from the place it was looked for, along the normal, px. */
  offsetPx: number;
  /** Between the half-dark crossings, px. */
  widthPx: number;
  /** Share of the paper's light that the stroke takes away at its darkest. */
  darkness: number;
  /** Linear light of the paper there, sum of the channels. */
  paperLight: number;
}

/** Width of a bin across the stroke, px, and the farthest that is looked to either side. */
const BIN_PX = 0.5;
const MOST_REACH_PX = 60;
const BINS = Math.ceil((2 * MOST_REACH_PX) / BIN_PX) + 1;
/** What is darker than this share of the peak is the stroke, for its centre of darkness. */
const BODY_SHARE = 0.3;
/** Paper beside the stroke is lighter than this share of the peak. */
const PAPER_SHARE = 0.35;
/** Paper on both sides differs by no more than this (logarithm of light): else it is the edge of a sheet. */
const MOST_STEP = 0.35;
/** The stroke's own edge is soft over this, px. */
const SOFT_PX = 1.5;

const sums = new Float64Array(BINS);
const counts = new Float64Array(BINS);
const profile = new Float64Array(BINS);

/**
 * Mean light of the photo's own pixels by distance along the normal, without those on what is `printed`; false where the strip
 * leaves the picture.
 */
function gather(
  photo: PaperPhoto,
  printed: PaperPhoto['printed'],
  u: number,
  v: number,
  normalU: number,
  normalV: number,
  reachPx: number,
  halfLengthPx: number,
  bins: number,
): boolean {
  const { width, height, data } = photo;
  sums.fill(0, 0, bins);
  counts.fill(0, 0, bins);
  const spanU = Math.abs(normalU) * reachPx + Math.abs(normalV) * halfLengthPx;
  const spanV = Math.abs(normalV) * reachPx + Math.abs(normalU) * halfLengthPx;
  const [left, right] = [Math.ceil(u - spanU), Math.floor(u + spanU)];
  const [top, bottom] = [Math.ceil(v - spanV), Math.floor(v + spanV)];
  if (left < 0 || top < 0 || right >= width || bottom >= height) return false;
  for (let row = top; row <= bottom; row++) {
    const dv = row - v;
    for (let column = left; column <= right; column++) {
      const du = column - u;
      const across = du * normalU + dv * normalV;
      const along = dv * normalU - du * normalV;
      if (Math.abs(across) > reachPx || Math.abs(along) > halfLengthPx) continue;
      if (printed) {
        const { mask, block } = printed;
        if (mask[Math.floor(row / block) * printed.width + Math.floor(column / block)]) continue;
      }
      const at = (row * width + column) * 4;
      const light =
        LINEAR_FROM_SRGB[data[at]!]! + LINEAR_FROM_SRGB[data[at + 1]!]! + LINEAR_FROM_SRGB[data[at + 2]!]!;
      // Shared between two bins by distance, so that a pixel's place counts to its fraction.
      const place = (across + reachPx) / BIN_PX;
      const bin = Math.floor(place);
      const share = place - bin;
      sums[bin]! += (1 - share) * light;
      counts[bin]! += 1 - share;
      if (bin + 1 < bins) {
        sums[bin + 1]! += share * light;
        counts[bin + 1]! += share;
      }
    }
  }
  return true;
}

/** Ruled paper is read between its lines when this share of the bins holds pixels then, over a longer strip. */
const LEAST_FILLED = 0.85;
const BETWEEN_LINES_FACTOR = 2.2;

/** Reads the strip between printed lines where that leaves enough of it, else with them. */
function gatherPaper(
  photo: PaperPhoto,
  u: number,
  v: number,
  normalU: number,
  normalV: number,
  reachPx: number,
  halfLengthPx: number,
  bins: number,
): boolean {
  const { printed } = photo;
  if (printed) {
    const longer = BETWEEN_LINES_FACTOR * halfLengthPx;
    if (gather(photo, printed, u, v, normalU, normalV, reachPx, longer, bins)) {
      let filled = 0;
      for (let k = 0; k < bins; k++) if (counts[k]! > 0.5) filled++;
      if (filled >= LEAST_FILLED * bins) return true;
    }
  }
  return gather(photo, undefined, u, v, normalU, normalV, reachPx, halfLengthPx, bins);
}

/** Light of the paper on one side: the mean of the bins there, without the darkest quarter (specks, ruling). */
function paperLight(from: number, to: number): number {
  const values: number[] = [];
  for (let k = from; k < to; k++) if (counts[k]! > 0.2) values.push(sums[k]! / counts[k]!);
  values.sort((a, b) => a - b);
  const kept = values.slice(Math.floor(values.length / 4));
  return kept.length > 0 ? kept.reduce((sum, value) => sum + value, 0) / kept.length : Number.NaN;
}

/** The place between bins `k` and `k + 1` where the profile passes `level`. */
const crossing = (k: number, level: number): number =>
  k + (profile[k]! - level) / (profile[k]! - profile[k + 1]! || 1);

/**
 * Reads a stroke about `widthPx` wide that is expected within a stroke's width of (u, v), in linear light against the
 * paper on both sides of it: its middle is the centre of its darkness (to a small part of a pixel). Undefined where it
 * has no paper on both sides, as beside a junction or inside a corner.
 */
export function readProfile(
  photo: PaperPhoto,
  u: number,
  v: number,
  normalU: number,
  normalV: number,
  widthPx: number,
  halfLengthPx: number,
): ProfileReading | undefined {
  const reachPx = Math.min(MOST_REACH_PX, 1.2 * widthPx + 2 * SOFT_PX + 2);
  const bins = Math.floor((2 * reachPx) / BIN_PX) + 1;
  if (!gatherPaper(photo, u, v, normalU, normalV, reachPx, halfLengthPx, bins)) return undefined;
  const side = Math.max(4, Math.round((0.35 * widthPx + SOFT_PX) / BIN_PX));
  const [left, right] = [paperLight(0, side), paperLight(bins - side, bins)];
  if (!(left > 0) || !(right > 0) || Math.abs(Math.log(left / right)) > MOST_STEP) return undefined;
  for (let k = 0; k < bins; k++) {
    const paper = left + ((right - left) * k) / (bins - 1);
    profile[k] = counts[k]! > 0.05 ? 1 - sums[k]! / counts[k]! / paper : k > 0 ? profile[k - 1]! : 0;
  }
  const middle = (bins - 1) / 2;
  const search = (0.6 * widthPx + SOFT_PX) / BIN_PX;
  let peak = 0;
  for (let k = Math.ceil(middle - search); k <= middle + search; k++) peak = Math.max(peak, profile[k]!);
  if (peak < 0.02) return undefined;
  // From outside inwards, so that grain, or a second stroke drawn over the first, does not end the stroke.
  const outer = Math.min(middle - 1, search + SOFT_PX / BIN_PX);
  let first = Math.ceil(middle - outer);
  let last = Math.floor(middle + outer);
  if (profile[first]! > PAPER_SHARE * peak || profile[last]! > PAPER_SHARE * peak) return undefined;
  while (profile[first + 1]! <= BODY_SHARE * peak) first++;
  while (profile[last - 1]! <= BODY_SHARE * peak) last--;
  let [weight, moment] = [0, 0];
  for (let k = first; k <= last; k++) {
    const over = Math.max(0, profile[k]! - BODY_SHARE * peak);
    weight += over;
    moment += over * k;
  }
  let a = first;
  let b = last;
  while (a < last && profile[a + 1]! < peak / 2) a++;
  while (b > first && profile[b - 1]! < peak / 2) b--;
  return {
    offsetPx: (moment / weight - middle) * BIN_PX,
    widthPx: (crossing(b - 1, peak / 2) - crossing(a, peak / 2)) * BIN_PX,
    darkness: peak,
    paperLight: (left + right) / 2,
  };
}
