/**
 * One piece, one stuff: by how much its side wall is darker than its face depends on nothing but the way the wall faces
 * the light. Over a whole outline that is a law of three numbers, which says what no single stretch can: whether a
 * narrow wall is nearly as dark as its face, and the foot therefore the edge that shows.
 */

/** What is read at each sample of an outline: its wall's direction, and for each reading its cost and wall over face. */
export interface WallReadings {
  /** Direction of the outward normal at the samples whose wall shows, rad. */
  readonly azimuthRad: Float64Array;
  /** Readings of sample k stand at k * states. */
  readonly states: number;
  readonly cost: Float32Array;
  /** Light of the wall over that of the face, as logarithms. */
  readonly wallOverFace: Float32Array;
}

/** Log of the wall's light over the face's by the direction that the wall faces. */
export type WallLaw = (azimuthRad: number) => number;

/** Laws tried: log light of a wall turned away, how many times that the light adds at most, and where from. */
const LOWEST = -2.6;
const HIGHEST = 3.4;
const LEVEL_STEP = 0.2;
const GAINS = [0, 0.5, 1, 2, 4];
const DIRECTIONS = 16;
/** Readings are gathered by direction and by level, a log light so wide. */
const BINS = 32;
const FINE_STEP = 0.1;
/** A reading strays from its law by this (log), and counts no further than this cost. */
const STRAY = 0.35;
const MOST_STRAYING = 7;
/** A wall brighter than its face by more than this (log) is another stuff, which is rare: cost of each sample for each unit beyond, at most. */
const BRIGHTER = 0;
const BRIGHT_COST = 3;
const MOST_BRIGHT = 1.5;
/** Fewer samples teach no law. */
const LEAST_SAMPLES = 60;

const TURN = 2 * Math.PI;

/** What it costs a reading to differ from its law by so much (log). */
export function strayingCost(difference: number): number {
  return Math.min(MOST_STRAYING, 0.5 * (difference / STRAY) ** 2);
}

const binOf = (azimuthRad: number, bins: number): number =>
  Math.floor((((azimuthRad / TURN) % 1) + 1) * bins) % bins;

/** Cost of the walls of each bin of directions having each level, its samples free to choose their readings. */
function costsByLevel(
  { azimuthRad, states, cost, wallOverFace }: WallReadings,
  levels: number,
): Float64Array {
  const byLevel = new Float64Array(BINS * levels);
  for (const [k, azimuth] of azimuthRad.entries()) {
    const bin = binOf(azimuth, BINS);
    for (let l = 0; l < levels; l++) {
      const level = LOWEST + l * FINE_STEP;
      let least = Infinity;
      for (let s = k * states; s < (k + 1) * states; s++) {
        const value = cost[s]! + strayingCost(wallOverFace[s]! - level);
        if (value < least) least = value;
      }
      const bright = Math.min(MOST_BRIGHT, BRIGHT_COST * Math.max(0, level - BRIGHTER));
      byLevel[bin * levels + l]! += least + bright;
    }
  }
  return byLevel;
}

/** The law that the readings of a whole outline agree with best; undefined for too few of them. */
export function learnWallLaw(readings: WallReadings): WallLaw | undefined {
  if (readings.azimuthRad.length < LEAST_SAMPLES) return undefined;
  const levels = Math.round((HIGHEST + 1 - LOWEST) / FINE_STEP) + 1;
  const byLevel = costsByLevel(readings, levels);
  let least = Infinity;
  let best = { level: 0, gain: 0, from: 0 };
  for (let level = LOWEST; level <= HIGHEST; level += LEVEL_STEP) {
    for (const gain of GAINS) {
      for (let direction = 0; direction < (gain === 0 ? 1 : DIRECTIONS); direction++) {
        const from = (direction * TURN) / DIRECTIONS;
        let sum = 0;
        for (let bin = 0; bin < BINS; bin++) {
          const lit = Math.max(0, Math.cos(((bin + 0.5) * TURN) / BINS - from));
          const at = Math.round((level + Math.log1p(gain * lit) - LOWEST) / FINE_STEP);
          sum += byLevel[bin * levels + Math.min(levels - 1, at)]!;
        }
        if (sum >= least) continue;
        least = sum;
        best = { level, gain, from };
      }
    }
  }
  return (azimuthRad) => best.level + Math.log1p(best.gain * Math.max(0, Math.cos(azimuthRad - best.from)));
}
