import type { Raster } from '../vision/raster.ts';
import { type Contour, outwardNormals, wrap } from './contour.ts';
import { chooseChannels, mixStrip, newChannelStats, noteChannels, takeLogarithms } from './edge-channel.ts';
import { gatherStrip, newStrip } from './edge-strip.ts';

/** Half the strip's width along the edge, px. */
const HALF_WIDTH_PX = 2;
/** Samples either way over which channels and the edge's polarity are chosen. */
const CHANNEL_REACH = 12;
/** Pixels on each side over which a level's slope is judged. */
const SIDE_PX = 5;
/** Cost of the track moving by one pixel between neighbouring samples, in units of a full-contrast edge. */
const MOVE_COST = 0.12;
/** The furthest move between neighbouring samples, px. */
const FURTHEST_MOVE = 3;
/** Cost of lying one reach away from where the region's edge was proposed. */
const STRAY_COST = 0.15;

/** Unevenness of the sides, in squares of the step summed over their pixels, that costs as much as the whole step. */
const ROUGH_SQUARES = 0.25;

/**
 * How much like a clean step of height `step` each whole-pixel place along a profile is: 1 for a perfect one. The
 * levels of both sides, each a straight line through five pixels carried on to the place, should differ by the step,
 * and the lines should be all there is: soft shadow is all slope and shows no step, and a step beside the place
 * spoils the line of that side.
 */
function stepsAlong(bins: Float64Array, step: number, into: Float64Array): void {
  const middle = (SIDE_PX + 1) / 2;
  const sideSquares = (SIDE_PX * (SIDE_PX * SIDE_PX - 1)) / 12;
  const perStep = 1 / (step || 1e-9);
  into.fill(0);
  for (let e = SIDE_PX; e < bins.length - SIDE_PX; e++) {
    let inside = 0;
    let outside = 0;
    let insideTilt = 0;
    let outsideTilt = 0;
    let squares = 0;
    for (let k = 1; k <= SIDE_PX; k++) {
      const a = bins[e - k]! * perStep;
      const b = bins[e + k]! * perStep;
      inside += a / SIDE_PX;
      outside += b / SIDE_PX;
      insideTilt += a * (k - middle);
      outsideTilt += b * (k - middle);
      squares += a * a + b * b;
    }
    const jump = outside - inside - (middle * (outsideTilt - insideTilt)) / sideSquares;
    const rough =
      squares -
      SIDE_PX * (inside * inside + outside * outside) -
      (insideTilt * insideTilt + outsideTilt * outsideTilt) / sideSquares;
    into[e] = Math.min(1, Math.max(0, jump)) - Math.min(1, rough / ROUGH_SQUARES);
  }
}

/** Means over whole pixels along the normal; a bin without a pixel repeats its neighbour. */
function binProfile(
  distance: Float64Array,
  value: Float64Array,
  count: number,
  reach: number,
  bins: Float64Array,
  counts: Float64Array,
): void {
  bins.fill(0);
  counts.fill(0);
  for (let i = 0; i < count; i++) {
    const bin = Math.round(distance[i]!) + reach;
    bins[bin]! += value[i]!;
    counts[bin]!++;
  }
  for (let bin = 0; bin < bins.length; bin++) {
    if (counts[bin]! > 0) bins[bin]! /= counts[bin]!;
    else bins[bin] = bin > 0 ? bins[bin - 1]! : 0;
  }
}

/** The track of least cost through `gain` (samples x states, cyclic): dynamic programming from a sure sample. */
function bestTrack(gain: Float64Array, count: number, states: number): Int32Array {
  let start = 0;
  let startState = 0;
  for (let at = 0, best = -Infinity; at < gain.length; at++) {
    if (gain[at]! > best) {
      best = gain[at]!;
      start = Math.floor(at / states);
      startState = at % states;
    }
  }
  const from = new Int8Array(count * states);
  let total = new Float64Array(states).fill(-Infinity);
  total[startState] = 0;
  for (let k = 1; k <= count; k++) {
    const sample = wrap(start + k, count);
    const next = new Float64Array(states).fill(-Infinity);
    for (let s = 0; s < states; s++) {
      for (let move = -FURTHEST_MOVE; move <= FURTHEST_MOVE; move++) {
        const previous = s + move;
        if (previous < 0 || previous >= states) continue;
        const score = total[previous]! - MOVE_COST * Math.abs(move);
        if (score > next[s]!) {
          next[s] = score;
          from[sample * states + s] = move;
        }
      }
      next[s]! += gain[sample * states + s]!;
    }
    total = next;
  }
  const track = new Int32Array(count);
  let state = startState;
  for (let k = count; k >= 1; k--) {
    const sample = wrap(start + k, count);
    track[sample] = state;
    state += from[sample * states + state]!;
  }
  return track;
}

function isNearBorder(photo: Raster, u: number, v: number, withinPx: number): boolean {
  return Math.min(u, v, photo.width - 1 - u, photo.height - 1 - v) < withinPx;
}

/**
 * Moves a proposed contour onto the sharpest edge within `reachPx`, to a whole pixel: the edge need not be the
 * strongest at every sample, since the whole closed track is chosen together and must not jump. Samples within
 * `pinWithinPx` of the photo's border stay where they are: a piece is cut off there, not seen to end.
 */
export function trackEdge(
  photo: Raster,
  contour: Contour,
  reachPx: number,
  normalReach: number,
  pinWithinPx = 0,
  channelReach = CHANNEL_REACH,
): Contour {
  const count = contour.u.length;
  const normals = outwardNormals(contour, normalReach);
  const states = 2 * reachPx + 1;
  const profileReach = reachPx + SIDE_PX;
  const strip = newStrip(profileReach + 0.49, HALF_WIDTH_PX);
  const stats = newChannelStats(count);
  const gather = (i: number) =>
    gatherStrip(
      photo,
      contour.u[i]!,
      contour.v[i]!,
      normals.u[i]!,
      normals.v[i]!,
      profileReach + 0.49,
      profileReach + 0.49,
      HALF_WIDTH_PX,
      strip,
    );
  for (let i = 0; i < count; i++) {
    gather(i);
    noteChannels(strip, reachPx / 2, stats, i);
  }
  const choice = chooseChannels(stats, count, channelReach);
  const bins = new Float64Array(2 * profileReach + 1);
  const counts = new Float64Array(bins.length);
  const steps = new Float64Array(bins.length);
  const value = new Float64Array(strip.distance.length);
  const gain = new Float64Array(count * states);
  for (let i = 0; i < count; i++) {
    if (isNearBorder(photo, contour.u[i]!, contour.v[i]!, pinWithinPx)) {
      gain.fill(-1, i * states, (i + 1) * states);
      gain[i * states + reachPx] = 0.5;
      continue;
    }
    gather(i);
    mixStrip(strip, choice.mix[i]!, value);
    binProfile(strip.distance, value, strip.count, profileReach, bins, counts);
    takeLogarithms(bins, choice.mix[i]!);
    stepsAlong(bins, choice.logStep[i]!, steps);
    for (let s = 0; s < states; s++) {
      const stray = Math.abs(s - reachPx) / reachPx;
      gain[i * states + s] = steps[s + SIDE_PX]! - STRAY_COST * stray;
    }
  }
  const track = bestTrack(gain, count, states);
  return {
    u: contour.u.map((u, i) => u + normals.u[i]! * (track[i]! - reachPx)),
    v: contour.v.map((v, i) => v + normals.v[i]! * (track[i]! - reachPx)),
  };
}
