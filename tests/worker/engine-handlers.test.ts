import { readFileSync } from 'node:fs';
import sharp from 'sharp';
import { afterEach, describe, expect, it } from 'vitest';
import { readPhotoFacts } from '../../src/capture/photo-facts.ts';
import { offsetPieceLine } from '../../src/geometry/edit/line-verbs.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { failure, success } from '../../src/outcome.ts';
import { cleanPicked } from '../../src/trace/clean-stretch.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../src/trace/types.ts';
import type { Raster } from '../../src/vision/raster.ts';
import type { DecodedPhoto } from '../../src/worker/decode-photo.ts';
import { createEngine, type Engine } from '../../src/worker/engine-client.ts';
import { createHandlers } from '../../src/worker/engine-handlers.ts';
import { VisionLoader } from '../../src/worker/vision-loader.ts';
import { GUARD } from '../geometry/drawn.ts';
import { readTruth } from '../setup/truth.ts';
import { type Workshop, workshop } from './fake-engine.ts';

const truth = readTruth('guards-and-crest');

/** The browser's decoder stood in for by sharp, which gives the same pixels (measured); bitmaps by plain objects. */
async function decode(bytes: Blob, previewPx: number) {
  const buffer = await bytes.arrayBuffer();
  try {
    const { data, info } = await sharp(buffer)
      .autoOrient()
      .ensureAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const raster: Raster = { width: info.width, height: info.height, data };
    const preview = { width: previewPx } as ImageBitmap;
    return success<DecodedPhoto>({
      raster,
      facts: readPhotoFacts(buffer),
      ...(previewPx > 0 && { preview }),
    });
  } catch {
    return failure('photo-unreadable', 'This is no photo.');
  }
}

function realEngine(load = loadVisionInNode): { engine: Engine; shop: Workshop; decoded: number[] } {
  const decoded: number[] = [];
  const shop = workshop((index) => {
    const handlers = createHandlers({
      vision: new VisionLoader(load),
      decode: (bytes, previewPx) => {
        decoded.push(index);
        return decode(bytes, previewPx);
      },
      toBitmap: ({ width, height }) => Promise.resolve({ width, height } as ImageBitmap),
    });
    // Plain objects cannot be handed over as bitmaps can.
    const copied = { progress: () => undefined, transfer: () => undefined };
    return {
      ...handlers,
      openPhoto: (argument, { progress }) => handlers.openPhoto(argument, { ...copied, progress }),
      flattenedView: (argument, { progress }) => handlers.flattenedView(argument, { ...copied, progress }),
    };
  });
  const engine = createEngine({ openPort: shop.openPort });
  open.push(engine);
  return { engine, shop, decoded };
}

const open: Engine[] = [];
afterEach(() => {
  for (const engine of open.splice(0)) engine.dispose();
});

describe('the real engine behind the door', () => {
  it('opens, measures and traces a photo, and does so again in a fresh worker after one is lost', async () => {
    const { engine, shop, decoded } = realEngine();
    const opened = await engine.openPhoto(new Uint8Array(readFileSync(truth.photoFile)));
    if (!opened.ok) throw new Error(opened.problem.message);
    const { photoKey, facts, widthPx, heightPx } = opened.value;
    expect([widthPx, heightPx]).toEqual([truth.camera.widthPx, truth.camera.heightPx]);
    expect(facts.focalLength35Mm).toBeGreaterThan(0);

    const steps: number[] = [];
    const options = { facts, thicknessMm: truth.pieces[0]!.thicknessMm };
    const captured = await engine.capture(photoKey, options, {
      progress: (_, fraction) => steps.push(fraction),
    });
    if (!captured.ok) throw new Error(captured.problem.message);
    expect(captured.value.cards).toHaveLength(truth.cards.length);
    expect(steps.length).toBeGreaterThan(2);
    expect(decoded).toEqual([0]);

    const traced = await engine.trace(photoKey, captured.value, DEFAULT_TRACE_OPTIONS);
    expect(traced.ok && traced.value.pieces).toHaveLength(truth.pieces.length);

    shop.lose('out of memory');
    expect(await engine.capture(photoKey, options)).toEqual(captured);
    expect(decoded).toEqual([0, 1]);
    const area = { minX: 0, minY: 0, maxX: 100, maxY: 50 };
    const view = await engine.flattenedView(photoKey, {
      camera: captured.value.camera,
      area,
      pxPerMm: 2,
      zMm: 0,
    });
    expect(view).toMatchObject({ ok: true, value: { width: 200, height: 100 } });
  });

  it('keeps one photo decoded, and decodes the other again when it is asked for', async () => {
    const { engine, decoded } = realEngine();
    const small = await sharp(truth.photoFile).resize(1000).jpeg().toBuffer();
    const keys: string[] = [];
    for (let i = 0; i < 2; i++) {
      const opened = await engine.openPhoto(new Uint8Array(small));
      if (opened.ok) keys.push(opened.value.photoKey);
    }
    expect(decoded).toHaveLength(2);
    await engine.capture(keys[1]!, { facts: {}, thicknessMm: 0 });
    expect(decoded).toHaveLength(2);
    await engine.capture(keys[0]!, { facts: {}, thicknessMm: 0 });
    expect(decoded).toHaveLength(3);
  });

  it('tells in words that a file is no photo, that no card is in it, and that the engine is missing', async () => {
    const { engine } = realEngine();
    const text = await engine.openPhoto(new TextEncoder().encode('foam'));
    expect(text).toMatchObject({ problem: { code: 'photo-unreadable' } });

    const create = { width: 800, height: 600, channels: 3, background: '#777' } as const;
    const bare = new Uint8Array(await sharp({ create }).png().toBuffer());
    const opened = await engine.openPhoto(bare);
    const photoKey = opened.ok ? opened.value.photoKey : '';
    expect(await engine.capture(photoKey, { facts: {}, thicknessMm: 0 })).toMatchObject({
      problem: { code: 'no-card' },
    });

    const lacking = realEngine(() => Promise.reject(new Error('the server answered 404'))).engine;
    const again = await lacking.openPhoto(bare);
    const key = again.ok ? again.value.photoKey : '';
    expect(await lacking.capture(key, { facts: {}, thicknessMm: 0 })).toMatchObject({
      problem: { code: 'engine-missing' },
    });
  });

  it('joins photos, and tells in words why it cannot', async () => {
    const { engine } = realEngine();
    const outcome = await engine.joinPhotos([]);
    expect(outcome.ok || outcome.problem.code).toBe('one-photo');
    const joined = { captures: [], covariance: [], shared: [], warnings: [] };
    const trace = await engine.joinTraces({ joined, traces: [], options: DEFAULT_TRACE_OPTIONS });
    expect(trace).toEqual(success({ pieces: [], warnings: [] }));
  });

  it('makes PDFs: scale cards, and a template of pieces; a page set-up that cannot be is told in words', async () => {
    const { engine } = realEngine();
    const cards = await engine.scaleCardPages('A4');
    expect(cards.ok && new TextDecoder().decode(cards.value.subarray(0, 5))).toBe('%PDF-');
    const pageSetup = { paper: 'A4', marginMm: 8, overlapMm: 10 } as const;
    const input = { buildName: 'Heron', date: '2031-05-02', pieces: [], pageSetup };
    const template = await engine.templatePdf(input);
    expect(template.ok && new TextDecoder().decode(template.value.subarray(0, 5))).toBe('%PDF-');
    const narrow = { ...input, pageSetup: { ...pageSetup, marginMm: 90 } };
    expect(await engine.templatePdf(narrow)).toMatchObject({ problem: { code: 'margin' } });
    expect(await engine.templateLayout(narrow)).toMatchObject({ problem: { code: 'margin' } });
    expect((await engine.templateLayout(input)).ok).toBe(true);
  });

  it('shapes lines as the pure verb does, and hands its refusal back as a result', async () => {
    const { engine } = realEngine();
    const lines = [{ id: 'guard', kind: 'cut', path: GUARD }] as const;
    const shape = { verb: 'clean', picks: [{ lineId: 'guard', joint: 0 }], toleranceMm: 0.5 } as const;
    const cleaned = await engine.shapeLines({ lines, shape });
    expect(cleaned).toEqual(success(cleanPicked(lines, shape.picks, 0.5)));
    const evened = await engine.shapeLines({ lines, shape: { verb: 'even-out', picks: [], limitMm: 1 } });
    expect(evened).toMatchObject({ ok: true, value: { ok: false, problem: { code: 'nothing-picked' } } });
    const choice = { distanceMm: 4, corner: 'sharp', into: 'score' } as const;
    const made = await engine.shapeLines({ lines, shape: { verb: 'offset', lineId: 'guard', choice } });
    const beside = made.ok && made.value.ok ? made.value.value.lines[1] : undefined;
    const expected = offsetPieceLine(lines, 'guard', choice, () => beside?.id ?? '');
    expect(made).toEqual(success(expected));
  });
});
