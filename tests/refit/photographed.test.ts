/** Fold check and refit end to end on rendered photos; tests/bench/fold-and-refit.ts counts many more. */
import { beforeAll, describe, expect, it } from 'vitest';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { point } from '../geometry/drawn.ts';
import { trimmedRight, VISOR, withBumps } from '../mirror/outlines.ts';
import { photographedPiece } from '../simulator/photographed-pieces.ts';
import { judgeFold, judgeRefit } from './judged-photos.ts';
import { trimmed } from './mock-ups.ts';

const MEGAPIXELS = 3;
/** Cut off to one side, so that it fits on itself in one way only. */
const GUARD = trimmedRight(VISOR, 60);
const LIES = { mirrored: false, angleRad: 0.12, shift: point(4, -3) };

describe('on a rendered photo', () => {
  let vision: Vision;
  beforeAll(async () => {
    vision = await loadVisionInNode();
  });

  it('a symmetric piece has its axis within 0.15 mm and 0.1 degrees, and nothing over half a millimetre', async () => {
    const lines = await photographedPiece(vision, { outline: VISOR, lies: LIES }, 1, MEGAPIXELS);
    const judged = judgeFold(lines, VISOR);
    expect(judged.axisMm).toBeLessThan(0.15);
    expect(judged.axisDeg).toBeLessThan(0.1);
    expect(judged.findings).toBe(0);
  }, 60_000);

  it.each([1, -3])(
    'a bump of %d mm is found within 5 mm of its place and 0.25 mm of its height',
    async (heightMm) => {
      const bump = { near: point(100, 55), heightMm, widthMm: 25 };
      const { path, middles } = withBumps(VISOR, [bump]);
      const lines = await photographedPiece(vision, { outline: path, lies: LIES }, 2, MEGAPIXELS);
      const judged = judgeFold(lines, path, { at: middles[0]!, heightMm });
      expect(judged.findings).toBe(1);
      expect(judged.placeMm).toBeLessThan(5);
      expect(Math.abs(judged.heightMm)).toBeLessThan(0.25);
      expect(judged.axisMm).toBeLessThan(0.15);
    },
    60_000,
  );

  it('with 30 % of its edge trimmed by 4 mm and turned over, the rest lies on the piece to 0.2 mm and the trim reads true to 0.3', async () => {
    const { path, untouched } = trimmed(GUARD, 4, 0.15);
    const before = await photographedPiece(vision, { outline: GUARD, lies: LIES }, 1, MEGAPIXELS);
    const lies = { mirrored: true, angleRad: 0.1, shift: point(-2, 3) };
    const after = await photographedPiece(vision, { outline: path, lies }, 3, MEGAPIXELS);
    const judged = judgeRefit(before, after, { drawn: GUARD, untouched, depthMm: 4 });
    expect(judged.untouchedMm).toBeLessThan(0.2);
    expect(Math.abs(judged.trimErrorMm)).toBeLessThan(0.3);
    expect(judged.stretches).toBe(1);
    expect(judged.mirrored).toBe(true);
  }, 60_000);
});
