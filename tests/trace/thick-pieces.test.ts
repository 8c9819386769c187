import { beforeAll, describe, expect, it } from 'vitest';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import {
  DEFAULT_TRACE_OPTIONS,
  type TracedEdge,
  type TracedPiece,
  type TraceWarning,
} from '../../src/trace/types.ts';
import { photograph } from '../simulator/photograph.ts';
import type { Scene } from '../simulator/scene.ts';
import { croppedToPieces, type ThickCase, thickScene, TONES } from '../simulator/thick-scenes.ts';
import { knownCapture } from './known-capture.ts';
import { outlineDistance } from './outline-distance.ts';

/** The small version of tests/bench/thickness.ts: 10 mm at 30 degrees, where a wrong reading costs 5 mm. */
const NAMES = ['white foam on a mid grey table', 'kraft board on grey', 'kraft board on wood'];
const CASES = TONES.map((tones, index) => ({ ...tones, index })).filter(({ name }) => NAMES.includes(name));

describe.each(CASES)('$name, 10 mm thick, seen at 30 degrees', ({ index }) => {
  let scene: Scene;
  let outer: TracedEdge;
  let holes: readonly TracedEdge[];

  beforeAll(async () => {
    const how = { seed: 100 + index, thicknessMm: 10, tiltDeg: 30, tones: TONES[index]!, megapixels: 12 };
    scene = croppedToPieces(thickScene(how), 20);
    const photo = await photograph(scene);
    const vision = await loadVisionInNode();
    const { pieces } = tracePieces(
      vision,
      photo,
      knownCapture(scene.camera, [], how.thicknessMm),
      DEFAULT_TRACE_OPTIONS,
    );
    expect(pieces).toHaveLength(1);
    ({ outer, holes } = pieces[0]!);
  });

  it('lays the outline at the height of its top edge, within a tenth of a millimetre', () => {
    expect(outlineDistance(outer.path, scene.pieces[0]!.outer).p95Mm).toBeLessThan(0.1);
  });

  it('finds all three openings, and the round one as near', () => {
    expect(holes).toHaveLength(3);
    const round = scene.pieces[0]!.holes[1]!;
    const nearest = holes.map(({ path }) => outlineDistance(path, round).p95Mm);
    expect(Math.min(...nearest)).toBeLessThan(0.1);
  });

  it('finds the slot by its top edge, though its own shadow fills it', () => {
    const slot = scene.pieces[0]!.holes[2]!;
    const nearest = holes.map(({ path }) => outlineDistance(path, slot).p95Mm);
    // Cleaning cuts its round ends short by up to a quarter of a millimetre, in flat pieces too.
    expect(Math.min(...nearest)).toBeLessThan(0.3);
  });
});

/** Photos in which one mechanism decides: each was wrong by more than the limit without it. */
const SINGLE = [
  {
    why: 'a shadow’s rim clearer than the face’s end',
    name: 'blue foam on grey',
    thicknessMm: 3,
    tiltDeg: 0,
    limitMm: 0.12,
  },
  {
    why: 'a shadow all along the far side',
    name: 'black-faced board, white core, on wood',
    thicknessMm: 3,
    tiltDeg: 0,
    limitMm: 0.25,
  },
  {
    why: 'narrow walls as dark as their face',
    name: 'dark foam on a pale table',
    thicknessMm: 3,
    tiltDeg: 30,
    limitMm: 0.13,
  },
  {
    why: 'a side that runs along the lean',
    name: 'dark foam on a pale table',
    thicknessMm: 10,
    tiltDeg: 10,
    limitMm: 0.08,
  },
];

describe.each(SINGLE)('$why: $name, $thicknessMm mm, seen at $tiltDeg degrees', (one) => {
  it('does not mislead the outline', async () => {
    const index = TONES.findIndex(({ name }) => name === one.name);
    const scene = croppedToPieces(
      thickScene({ ...one, seed: 100 + index, tones: TONES[index]!, megapixels: 12 }),
      20,
    );
    const { pieces } = tracePieces(
      await loadVisionInNode(),
      await photograph(scene),
      knownCapture(scene.camera, [], one.thicknessMm),
      DEFAULT_TRACE_OPTIONS,
    );
    expect(pieces).toHaveLength(1);
    expect(outlineDistance(pieces[0]!.outer.path, scene.pieces[0]!.outer).p95Mm).toBeLessThan(one.limitMm);
  });
});

/** Traces the eye, the round opening and the slot of a crest front cropped from its photo. */
async function traceCrest(how: Omit<ThickCase, 'megapixels'>): Promise<{
  readonly openingsMm: readonly number[];
  readonly warnings: readonly TraceWarning[];
}> {
  const scene = croppedToPieces(thickScene({ ...how, megapixels: 12 }), 20);
  const { pieces } = tracePieces(
    await loadVisionInNode(),
    await photograph(scene),
    knownCapture(scene.camera, [], how.thicknessMm),
    DEFAULT_TRACE_OPTIONS,
  );
  expect(pieces).toHaveLength(1);
  const [{ holes, warnings }] = pieces as [TracedPiece];
  const nearestMm = (hole: readonly PlanePoint[]) =>
    Math.min(...holes.map(({ path }) => outlineDistance(path, hole).p95Mm));
  return { openingsMm: scene.pieces[0]!.holes.map(nearestMm), warnings };
}

describe('an opening whose foot does not show', () => {
  it('is traced by its top edge where the foot is lost between a dark wall and its shadow', async () => {
    const index = TONES.findIndex(({ name }) => name === 'kraft board on wood');
    const how = { seed: 100 + index, thicknessMm: 6, tiltDeg: 20, tones: TONES[index]! };
    const { openingsMm, warnings } = await traceCrest(how);
    // It was 5.7 mm off: the lit part of the table was taken for the opening.
    for (const distanceMm of openingsMm) expect(distanceMm).toBeLessThan(0.1);
    expect(warnings).toEqual([]);
  });

  it('is said to be in doubt where the wall looks like the face and the table hides in shadow', async () => {
    const board = TONES.find(({ name }) => name === 'kraft board on wood')!;
    const tones = { ...board, name: 'board with a bright core', wall: [0.9, 0.62, 0.36] as const };
    // The openings are some 3 mm off.
    const { warnings } = await traceCrest({ seed: 1, thicknessMm: 10, tiltDeg: 30, tones });
    const doubts = warnings.filter(({ code }) => code === 'doubtful-opening').map(({ message }) => message);
    expect(doubts.join(' ')).toContain('side wall');
  });
});
