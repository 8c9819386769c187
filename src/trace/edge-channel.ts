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
const MIX_COUNT = CHANNEL_MIXES.length;
const PLAIN_MIXES = 4;
/** A difference of channels must part inside from outside this many times better than a plain one. */
const HUE_HANDICAP = 2;
/** It is not asked at all where a plain one differs by this share of its level: hue is smeared, light is not. */
const PLAIN_CONTRAST = 0.1;

/** The mix itself when it is a sum of channels, else the luminance. */
export function plainMix(mix: number): number {
  return mix < PLAIN_MIXES ? mix : 0;
}

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
  /** Sum of both sides' levels. */
  readonly levels: Float64Array;
}

export function newChannelStats(samples: number): ChannelStats {
  const column = () => new Float64Array(samples * MIX_COUNT);
  return { steps: column(), variances: column(), levels: column() };
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
    stats.levels[sample * MIX_COUNT + mix] = outMean + inMean;
    stats.variances[sample * MIX_COUNT + mix] = spread / (inCount + outCount);
  }
}

export interface ChannelChoice {
  /** Index of the mix for each sample. */
  readonly mix: Uint8Array;
  /** Outside less inside of that mix over the stretch; its sign is the edge's polarity. */
  readonly step: Float64Array;
  /** The same as a logarithm of ratios for a sum of channels, so that shadow, which multiplies, counts little. */
  readonly logStep: Float64Array;
}

/** Added to light before its logarithm is taken, so that noise in the dark stays small. */
const DARK_FLOOR = 0.004;

/** Turns a profile of the mix into logarithms where it is a sum of channels; differences of channels stay. */
export function takeLogarithms(profile: Float64Array, mix: number): void {
  if (mix >= PLAIN_MIXES) return;
  for (let i = 0; i < profile.length; i++) profile[i] = Math.log(Math.max(0, profile[i]!) + DARK_FLOOR);
}

function logStepOf(mix: number, step: number, level: number): number {
  if (mix >= PLAIN_MIXES) return step;
  const outside = Math.max(0, (level + step) / 2);
  const inside = Math.max(0, (level - step) / 2);
  return Math.log((outside + DARK_FLOOR) / (inside + DARK_FLOOR));
}

/** For each sample the mix that parts inside from outside best over the stretch of `reach` samples either way. */
export function chooseChannels(stats: ChannelStats, count: number, reach: number): ChannelChoice {
  const mix = new Uint8Array(count);
  const step = new Float64Array(count);
  const logStep = new Float64Array(count);
  const best = new Float64Array(count);
  // Best contrast of a plain mix so far, as a share of its level.
  const contrast = new Float64Array(count);
  const samples = 2 * reach + 1;
  for (let m = 0; m < MIX_COUNT; m++) {
    let [sum, spread, level] = [0, 0, 0];
    const take = (at: number, sign: number): void => {
      const k = wrap(at, count) * MIX_COUNT + m;
      sum += sign * stats.steps[k]!;
      spread += sign * stats.variances[k]!;
      level += sign * stats.levels[k]!;
    };
    for (let k = -reach; k <= reach; k++) take(k, 1);
    for (let i = 0; i < count; i++) {
      const parting = Math.abs(sum) / Math.sqrt(samples * Math.max(0, spread) + 1e-9);
      const plain = m < PLAIN_MIXES;
      if (plain) contrast[i] = Math.max(contrast[i]!, Math.abs(sum) / (Math.abs(level) / 2 + 1e-9));
      const score = plain ? parting : parting / HUE_HANDICAP;
      if (score > best[i]! && (plain || contrast[i]! < PLAIN_CONTRAST)) {
        best[i] = score;
        mix[i] = m;
        step[i] = sum / samples;
        logStep[i] = logStepOf(m, sum / samples, level / samples);
      }
      take(i + reach + 1, 1);
      take(i - reach, -1);
    }
  }
  return { mix, step, logStep };
}
