import { afterEach, describe, expect, it } from 'vitest';
import type { Capture } from '../../src/capture/types.ts';
import { failure, success } from '../../src/outcome.ts';
import { createEngine, type Engine, type EngineSettings } from '../../src/worker/engine-client.ts';
import type { OpenedPhoto } from '../../src/worker/protocol.ts';
import type { Handlers } from '../../src/worker/request-desk.ts';
import { sampleCapture } from '../build/sample-build.ts';
import { type Workshop, workshop } from './fake-engine.ts';

const CAPTURE: Capture = sampleCapture();
const OPTIONS = { facts: {}, thicknessMm: 3 };
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** Opens any photo without decoding it; Node has no ImageBitmap, and the door does not look at it. */
const openPhoto: Handlers['openPhoto'] = ({ photo }) =>
  success({
    photoKey: photo.photoKey,
    widthPx: 40,
    heightPx: 30,
    facts: {},
    preview: { width: 40, height: 30 },
  } as OpenedPhoto);

const open: Engine[] = [];

function engineWith(
  handlersOf: (index: number) => Partial<Handlers>,
  settings: EngineSettings = {},
): { engine: Engine; shop: Workshop } {
  const shop = workshop((index) => ({ openPhoto, ...handlersOf(index) }));
  const engine = createEngine({ openPort: shop.openPort, graceMs: 20, ...settings });
  open.push(engine);
  return { engine, shop };
}

async function photoOf(engine: Engine): Promise<string> {
  const opened = await engine.openPhoto(new Uint8Array([1, 2, 3]));
  if (!opened.ok) throw new Error(opened.problem.message);
  return opened.value.photoKey;
}

afterEach(() => {
  for (const engine of open.splice(0)) engine.dispose();
});

describe('a request through the door', () => {
  it('brings back the value, tells its progress on the way, and sends the bytes along', async () => {
    const seen: unknown[] = [];
    const { engine } = engineWith(() => ({
      capture: async ({ photo, options }, { progress }) => {
        progress('Finding cards', 0.25);
        progress('Solving', 0.75);
        seen.push(new Uint8Array(await photo.bytes.arrayBuffer()), options);
        return success(CAPTURE);
      },
    }));
    const steps: [string, number][] = [];
    const outcome = await engine.capture(await photoOf(engine), OPTIONS, {
      progress: (step, fraction) => steps.push([step, fraction]),
    });
    expect(outcome).toEqual(success(CAPTURE));
    expect(steps).toEqual([
      ['Finding cards', 0.25],
      ['Solving', 0.75],
    ]);
    expect(seen).toEqual([new Uint8Array([1, 2, 3]), OPTIONS]);
  });

  it('has an error of the engine as a value', async () => {
    const problem = failure('no-card', 'No card was found. Lay one beside the piece.');
    const { engine } = engineWith(() => ({ capture: () => problem }));
    expect(await engine.capture(await photoOf(engine), OPTIONS)).toEqual(problem);
  });

  it('gets its own answer when two are under way, and they are done one after the other', async () => {
    const order: string[] = [];
    const { engine, shop } = engineWith(() => ({
      capture: async ({ options }) => {
        order.push(`begin ${options.thicknessMm}`);
        await pause(options.thicknessMm);
        order.push(`end ${options.thicknessMm}`);
        return success({ ...CAPTURE, thicknessMm: options.thicknessMm });
      },
    }));
    const photoKey = await photoOf(engine);
    const outcomes = await Promise.all([
      engine.capture(photoKey, { facts: {}, thicknessMm: 30 }),
      engine.capture(photoKey, { facts: {}, thicknessMm: 1 }),
    ]);
    expect(outcomes.map((outcome) => outcome.ok && outcome.value.thicknessMm)).toEqual([30, 1]);
    expect(order).toEqual(['begin 30', 'end 30', 'begin 1', 'end 1']);
    expect(shop.workers).toHaveLength(1);
  });

  it('for a photo that was closed is answered in words', async () => {
    const { engine } = engineWith(() => ({ closePhoto: () => success(undefined) }));
    const photoKey = await photoOf(engine);
    engine.closePhoto(photoKey);
    expect(await engine.capture(photoKey, OPTIONS)).toMatchObject({ problem: { code: 'photo-closed' } });
  });
});

describe('cancelling', () => {
  it('answers at once and leaves the worker alone when it ends by itself', async () => {
    const controller = new AbortController();
    let steps = 0;
    const { engine, shop } = engineWith(
      () => ({
        capture: async (_, { progress }) => {
          for (; ; steps++) {
            progress('Solving', 0.5);
            await pause(1);
          }
        },
      }),
      { graceMs: 10_000 },
    );
    const photoKey = await photoOf(engine);
    const outcome = engine.capture(photoKey, OPTIONS, {
      signal: controller.signal,
      progress: () => controller.abort(),
    });
    expect(await outcome).toMatchObject({ problem: { code: 'cancelled' } });
    await pause(20);
    const stepsThen = steps;
    await pause(20);
    expect(steps).toBe(stepsThen);
    expect(shop.workers).toHaveLength(1);
    expect((await engine.openPhoto(new Uint8Array())).ok).toBe(true);
  });

  it('ends a worker that does not let go, and a fresh one takes over what else was asked', async () => {
    const controller = new AbortController();
    const { engine, shop } = engineWith((index) => ({
      capture: () =>
        index === 0 ? new Promise(() => undefined) : Promise.resolve(success({ ...CAPTURE, rmsPx: index })),
    }));
    const photoKey = await photoOf(engine);
    const stuck = engine.capture(photoKey, OPTIONS, { signal: controller.signal });
    const waiting = engine.capture(photoKey, OPTIONS);
    controller.abort();
    expect(await stuck).toMatchObject({ problem: { code: 'cancelled' } });
    expect(await waiting).toMatchObject({ ok: true, value: { rmsPx: 1 } });
    expect(shop.workers.map(({ isEnded }) => isEnded)).toEqual([true, false]);
  });

  it('takes a request that has not begun out of the queue without disturbing the one in hand', async () => {
    const controller = new AbortController();
    const begun: number[] = [];
    const { engine, shop } = engineWith(
      () => ({
        capture: async ({ options }) => {
          begun.push(options.thicknessMm);
          await pause(40);
          return success(CAPTURE);
        },
      }),
      { graceMs: 30 },
    );
    const photoKey = await photoOf(engine);
    const first = engine.capture(photoKey, { facts: {}, thicknessMm: 1 });
    const second = engine.capture(photoKey, { facts: {}, thicknessMm: 2 }, { signal: controller.signal });
    controller.abort();
    expect(await second).toMatchObject({ problem: { code: 'cancelled' } });
    expect((await first).ok).toBe(true);
    await pause(50);
    expect(begun).toEqual([1]);
    expect(shop.workers).toHaveLength(1);
  });

  it('before the request starts no worker at all', async () => {
    const { engine, shop } = engineWith(() => ({}));
    const outcome = await engine.openPhoto(new Uint8Array(), { signal: AbortSignal.abort() });
    expect(outcome).toMatchObject({ problem: { code: 'cancelled' } });
    expect(shop.workers).toHaveLength(0);
  });
});

describe('a worker that is lost', () => {
  it('fails everything under way in words, and the next request starts a fresh one', async () => {
    const { engine, shop } = engineWith((index) => ({
      capture: () => (index === 0 ? new Promise(() => undefined) : success(CAPTURE)),
    }));
    const photoKey = await photoOf(engine);
    const outcomes = [engine.capture(photoKey, OPTIONS), engine.capture(photoKey, OPTIONS)];
    await pause(5);
    shop.lose('out of memory');
    for (const outcome of await Promise.all(outcomes)) {
      expect(outcome).toMatchObject({ ok: false, problem: { code: 'engine-lost' } });
      expect(!outcome.ok && outcome.problem.message).toContain('out of memory');
    }
    expect((await engine.capture(photoKey, OPTIONS)).ok).toBe(true);
    expect(shop.workers.map(({ isEnded }) => isEnded)).toEqual([true, false]);
  });

  it('without a word is noticed by its silence', async () => {
    const { engine } = engineWith(() => ({ capture: () => new Promise(() => undefined) }), { silenceMs: 30 });
    const outcome = await engine.capture(await photoOf(engine), OPTIONS);
    expect(outcome).toMatchObject({ problem: { code: 'engine-lost' } });
  });

  it('that could not even be started is told in words', async () => {
    const engine = createEngine({
      openPort: () => {
        throw new Error('workers are switched off');
      },
    });
    const outcome = await engine.openPhoto(new Uint8Array());
    expect(outcome).toMatchObject({ problem: { code: 'engine-lost' } });
  });

  it('cannot speak for the one that took its place', async () => {
    const late: (() => void)[] = [];
    const shop = workshop((index) => ({
      openPhoto,
      capture: () => (index === 0 ? new Promise(() => undefined) : success(CAPTURE)),
    }));
    const engine = createEngine({
      openPort: (events) => {
        late.push(() => events.onLost('late news'));
        return shop.openPort(events);
      },
    });
    open.push(engine);
    const photoKey = await photoOf(engine);
    const first = engine.capture(photoKey, OPTIONS);
    late[0]!();
    expect((await first).ok).toBe(false);
    const second = engine.capture(photoKey, OPTIONS);
    late[0]!();
    expect((await second).ok).toBe(true);
  });
});

describe('a fault in the engine', () => {
  it('is told as a value, and a fresh worker does what comes next', async () => {
    const { engine, shop } = engineWith((index) => ({
      capture: () => {
        if (index === 0) throw new Error('heap is full');
        return success(CAPTURE);
      },
    }));
    const photoKey = await photoOf(engine);
    const [first, second] = await Promise.all([
      engine.capture(photoKey, OPTIONS),
      engine.capture(photoKey, OPTIONS),
    ]);
    expect(first).toMatchObject({ problem: { code: 'engine-fault' } });
    expect(!first.ok && first.problem.message).toContain('heap is full');
    expect(second.ok).toBe(true);
    expect(shop.workers).toHaveLength(2);
  });
});

describe('leaving', () => {
  it('answers what is under way as cancelled', async () => {
    const { engine } = engineWith(() => ({ capture: () => new Promise(() => undefined) }));
    const outcome = engine.capture(await photoOf(engine), OPTIONS);
    engine.dispose();
    expect(await outcome).toMatchObject({ problem: { code: 'cancelled' } });
  });
});
