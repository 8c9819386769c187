import { beforeAll, describe, expect, it } from 'vitest';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { captureScene } from '../simulator/captures.ts';
import { photograph } from '../simulator/photograph.ts';
import { rectangleOutline } from '../simulator/presets.ts';

let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

// Invented tone: black sheet foam in room light, as dark as a photo's noise allows.
const BLACK = [0.02, 0.025, 0.03] as const;

describe('a black piece on a plain table', () => {
  it.each([502, 505, 508])('keeps the parts of it that noise sets apart (seed %i)', async (seed) => {
    const made = captureScene(seed, {
      cardCount: 6,
      region: 'A4',
      megapixels: 3,
      tiltDeg: 10,
      unmodelled: true,
    });
    const outer = rectangleOutline({ x: 0, y: 0 }, 100, 130, 0.4);
    const scene = { ...made, pieces: [{ outer, holes: [], thicknessMm: 0.3, color: BLACK }] };
    const photo = await photograph(scene);
    const outcome = capturePhoto(vision, photo, { facts: scene.facts, thicknessMm: 0.3 });
    if (!outcome.ok) throw new Error(outcome.problem.message);
    const { pieces } = tracePieces(vision, photo, outcome.value, DEFAULT_TRACE_OPTIONS);
    expect(pieces).toHaveLength(1);
    expect(pieces[0]!.warnings).toEqual([]);
    // Every notch that is bitten out of its edge would lengthen it: 478 to 492 mm instead of 460.
    expect(pieces[0]!.lengthMm).toBeGreaterThan(458.5);
    expect(pieces[0]!.lengthMm).toBeLessThan(461.5);
    expect(pieces[0]!.areaMm2 / 13_000).toBeCloseTo(1, 2);
  });
});
