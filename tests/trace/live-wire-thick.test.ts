import { describe, expect, it } from 'vitest';
import { photograph } from '../simulator/photograph.ts';
import { croppedToPieces, thickScene, TONES } from '../simulator/thick-scenes.ts';
import { clickedStretches } from './clicked-stretches.ts';

/**
 * A small version of tests/bench/live-wire.ts: 10 mm at 30 degrees, where the foot lies 5 mm from the top edge. Dark foam
 * hides the top edge of a wall from the eye too; there half of the stretches is what holds from seed to seed.
 */
const CASES = [
  { name: 'dark foam on wood', seed: 301, share: 0.5 },
  { name: 'kraft board on grey', seed: 302, share: 1 },
];

describe.each(CASES)('the outline of 10 mm $name followed by clicks 180 mm apart', (how) => {
  it('keeps to the top edge that the clicks lie on', async () => {
    const { name, seed, share } = how;
    const tones = TONES.find((one) => one.name === name)!;
    const scene = croppedToPieces(
      thickScene({ seed, thicknessMm: 10, tiltDeg: 30, tones, megapixels: 12 }),
      20,
    );
    const photo = await photograph(scene);
    const rounds = [1, 2].flatMap((hand) =>
      clickedStretches(photo, scene.camera, 10, scene.pieces[0]!.outer, 180, seed * 10 + hand),
    );
    const offMm = rounds.map(({ p95Mm }) => p95Mm).sort((a, b) => a - b);
    expect(offMm[share * offMm.length - 1]).toBeLessThan(0.5);
  });
});
