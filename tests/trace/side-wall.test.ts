import { beforeAll, describe, expect, it } from 'vitest';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { readPhotoFile } from '../../src/headless/read-photo.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { sideWallWarning } from '../../src/trace/trace-warnings.ts';
import { DEFAULT_TRACE_OPTIONS, type TraceWarning } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { readTruth } from '../setup/truth.ts';
import { photograph } from '../simulator/photograph.ts';
import type { Scene } from '../simulator/scene.ts';
import { croppedToPieces, thickScene, TONES } from '../simulator/thick-scenes.ts';
import { knownCapture } from './known-capture.ts';

/** What makers leave in the field for paper, mm. */
const AS_PAPER_MM = 0.1;

let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

function sceneOf(name: string, thicknessMm: number, tiltDeg: number): Scene {
  const tone = TONES.findIndex((tones) => tones.name === name);
  const how = { seed: 100 + tone, thicknessMm, tiltDeg, tones: TONES[tone]!, megapixels: 12 };
  return croppedToPieces(thickScene(how), 20);
}

/** The warnings of the one piece in a scene, measured as paper. */
async function answerTo(scene: Scene): Promise<readonly TraceWarning[]> {
  const photo = await photograph(scene);
  const capture = knownCapture(scene.camera, [], AS_PAPER_MM);
  const { pieces } = tracePieces(vision, photo, capture, DEFAULT_TRACE_OPTIONS);
  expect(pieces).toHaveLength(1);
  return pieces[0]!.warnings;
}

const heightIn = ({ message }: TraceWarning): number => Number(/about ([\d.]+) mm thick/.exec(message)?.[1]);
const costIn = ({ message }: TraceWarning): number => Number(/about ([\d.]+) mm too long/.exec(message)?.[1]);

describe('a piece that was measured as paper asks for its thickness', () => {
  it('on the practice photo of foam: 10 mm thick, and what that costs', async () => {
    const truth = readTruth('crown-front');
    const { raster } = await readPhotoFile(truth.photoFile);
    const trace = (thicknessMm: number) =>
      tracePieces(
        vision,
        raster,
        knownCapture(truth.camera, truth.cards, thicknessMm),
        DEFAULT_TRACE_OPTIONS,
      );
    const { warnings, outer } = trace(AS_PAPER_MM).pieces[0]!;
    expect(warnings.map(({ code }) => code)).toEqual(['side-wall']);
    expect(Math.abs(heightIn(warnings[0]!) - truth.pieces[0]!.thicknessMm)).toBeLessThanOrEqual(1);
    // Measured as paper the span is longer than the true one by no more than was said, to the figure's own rounding.
    const span = (points: readonly { readonly x: number }[]) =>
      Math.max(...points.map(({ x }) => x)) - Math.min(...points.map(({ x }) => x));
    const tooLong = span(outer.measured) - span(truth.pieces[0]!.outer);
    expect(tooLong).toBeGreaterThan(2);
    expect(tooLong).toBeLessThan(costIn(warnings[0]!) + 0.5);
  });

  it.each([
    ['kraft board on grey', 10, 20],
    ['white foam on wood', 10, 30],
    ['dark foam on wood', 3, 30],
  ])('%s, %s mm thick, seen at %s degrees', async (name, thicknessMm, tiltDeg) => {
    const warnings = await answerTo(sceneOf(name, thicknessMm, tiltDeg));
    const wall = warnings.find(({ code }) => code === 'side-wall');
    expect(wall).toBeDefined();
    expect(Math.abs(heightIn(wall!) - thicknessMm)).toBeLessThanOrEqual(0.1 * thicknessMm + 0.5);
  });
});

describe('paper is not taken for a thick piece', () => {
  it.each(['dark foam on wood', 'white foam on wood'])('with the tones of %s', async (name) => {
    const codes = (await answerTo(sceneOf(name, AS_PAPER_MM, 25))).map(({ code }) => code);
    expect(codes).not.toContain('side-wall');
  });

  it('curled, with a hard shadow falling towards the camera or aside', async () => {
    for (const turn of [0, 2]) {
      const scene = sceneOf('kraft board on grey', 0.3, 20);
      const towards = { x: Math.cos(turn), y: Math.sin(turn) };
      const codes = await answerTo({
        ...scene,
        light: { ...scene.light, towards, penumbra: 0.2 },
        pieces: scene.pieces.map((piece) => ({
          ...piece,
          curl: { directionRad: 0.4, riseMm: 2, halfSpanMm: 100 },
        })),
      });
      expect(codes.map(({ code }) => code)).not.toContain('side-wall');
    }
  });
});

describe('the sentence', () => {
  it('gives no figure where the picture does not settle the thickness', () => {
    expect(sideWallWarning({}).message).not.toMatch(/\d/);
    expect(sideWallWarning({ heightMm: 2.75 }, 1.2).message).toContain('about 3 mm thick');
    expect(sideWallWarning({ heightMm: 2.75 }, 1.2).message).toContain('about 1 mm too long');
  });
});
