import { wrap } from './contour.ts';
import type { EdgeStrip } from './edge-strip.ts';

/** A fixed combination of the linear channels: red, green, blue. */
type ChannelMix = readonly [number, number, number];

/**
 * The combinations tried. Sums come first; differences of channels are for edges that differ in hue alone, since a
 * JPEG keeps hue at half the resolution (ITU-T T.81 with 4:2:0 sampling) and smears it.
 */
const CHANNEL_MIXES: readonly ChannelMix[] = [
  [0.2126, 0.7152, 0.0722],
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
  [0.6, -0.6, 0],
  [0, -0.6, 0.6],
  [0.6, 0, -0.6],
];
export const MIX_COUNT = CHANNEL_MIXES.length;
const PLAIN_MIXES = 4;
/** A difference of channels must part inside from outside this many times better than a plain one. */
const HUE_HANDICAP = 2;

/** Values of one mix for all pixels of a strip. */
export function mixStrip(strip: EdgeStrip, mix: number, into: Float64Array): void {
  const [r, g, b] = CHANNEL_MIXES[mix]!;
  for (let i = 0; i < strip.count; i++) {
    into[i] = r * strip.red[i]! + g * strip.green[i]! + b * strip.blue[i]!;
  }
}

/** For each sample of a contour and each mix: outside less inside, and the variance within the sides. */
export interface ChannelStats {
  readonly steps: Float64Array;
  readonly variances: Float64Array;
}

/** Notes what each mix would see at one sample; pixels within `gapPx` of the edge are left out. */
export function noteChannels(strip: EdgeStrip, gapPx: number, stats: ChannelStats, sample: number): void {
  for (let mix = 0; mix < MIX_COUNT; mix++) {
    const [r, g, b] = CHANNEL_MIXES[mix]!;
    let inCount = 0;
    let inSum = 0;
    let inSquares = 0;
    let outCount = 0;
    let outSum = 0;
    let outSquares = 0;
    for (let i = 0; i < strip.count; i++) {
      const d = strip.distance[i]!;
      if (d > -gapPx && d < gapPx) continue;
      const value = r * strip.red[i]! + g * strip.green[i]! + b * strip.blue[i]!;
      if (d < 0) {
        inCount++;
        inSum += value;
        inSquares += value * value;
      } else {
        outCount++;
        outSum += value;
        outSquares += value * value;
      }
    }
    if (inCount === 0 || outCount === 0) continue;
    const inMean = inSum / inCount;
    const outMean = outSum / outCount;
    const spread = inSquares - inCount * inMean * inMean + outSquares - outCount * outMean * outMean;
    stats.steps[sample * MIX_COUNT + mix] = outMean - inMean;
    stats.variances[sample * MIX_COUNT + mix] = spread / (inCount + outCount);
  }
}

export interface ChannelChoice {
  /** Index of the mix for each sample. */
  readonly mix: Uint8Array;
  /** Outside less inside of that mix over the stretch; its sign is the edge's polarity. */
  readonly step: Float64Array;
}

/** For each sample the mix that parts inside from outside best over the stretch of `reach` samples either way. */
export function chooseChannels(stats: ChannelStats, count: number, reach: number): ChannelChoice {
  const mix = new Uint8Array(count);
  const step = new Float64Array(count);
  const best = new Float64Array(count);
  for (let m = 0; m < MIX_COUNT; m++) {
    let sum = 0;
    let spread = 0;
    for (let k = -reach; k <= reach; k++) {
      const at = wrap(k, count) * MIX_COUNT + m;
      sum += stats.steps[at]!;
      spread += stats.variances[at]!;
    }
    for (let i = 0; i < count; i++) {
      const samples = 2 * reach + 1;
      const parting = Math.abs(sum) / Math.sqrt(samples * Math.max(0, spread) + 1e-9);
      const score = m < PLAIN_MIXES ? parting : parting / HUE_HANDICAP;
      if (score > best[i]!) {
        best[i] = score;
        mix[i] = m;
        step[i] = sum / samples;
      }
      const enters = wrap(i + reach + 1, count) * MIX_COUNT + m;
      const leaves = wrap(i - reach, count) * MIX_COUNT + m;
      sum += stats.steps[enters]! - stats.steps[leaves]!;
      spread += stats.variances[enters]! - stats.variances[leaves]!;
    }
  }
  return { mix, step };
}
