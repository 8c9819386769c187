import { describe, expect, it } from 'vitest';
import { learnWallLaw, type WallReadings } from '../../src/trace/wall-law.ts';
import { seeded } from '../simulator/seeded.ts';

/** Lambert's cosine on an upright wall over that on a level face (as tests/simulator/light.ts has it), as a logarithm. */
const lambert = (unlit: number, gain: number, from: number) => (azimuthRad: number) =>
  Math.log(unlit * (1 + gain * Math.max(0, Math.cos(azimuthRad - from))));

/** Each sample offers its true reading and another one, at random, that fits the picture a little better. */
function readingsOf(law: (azimuthRad: number) => number, samples: number, seed: number): WallReadings {
  const random = seeded(seed);
  const azimuthRad = Float64Array.from({ length: samples }, () => random.between(-Math.PI, Math.PI));
  const wallOverFace = new Float32Array(2 * samples);
  const cost = new Float32Array(2 * samples);
  for (const [k, azimuth] of azimuthRad.entries()) {
    wallOverFace[2 * k] = law(azimuth) + random.normal(0.1);
    wallOverFace[2 * k + 1] = random.between(-2.5, 2.5);
    cost[2 * k] = 1;
  }
  return { azimuthRad, states: 2, cost, wallOverFace };
}

describe('the law of a piece’s walls', () => {
  const all = Array.from({ length: 24 }, (_, k) => (k * Math.PI) / 12);

  it.each([
    ['foam of one stuff', 0.25, 2, 1],
    ['dark wall, light from the other side', 0.3, 1, -2.5],
    ['board with a white core', 5, 1, 0.4],
  ])('is what all samples agree on: %s', (_, unlit, gain, from) => {
    const truth = lambert(unlit, gain, from);
    const law = learnWallLaw(readingsOf(truth, 300, 7))!;
    const off = all.map((azimuth) => Math.abs(law(azimuth) - truth(azimuth)));
    expect(Math.max(...off)).toBeLessThan(0.35);
    expect(off.reduce((a, b) => a + b, 0) / off.length).toBeLessThan(0.15);
  });

  it('is not learned from a handful of samples', () => {
    expect(learnWallLaw(readingsOf(lambert(0.25, 2, 1), 20, 3))).toBeUndefined();
  });
});
