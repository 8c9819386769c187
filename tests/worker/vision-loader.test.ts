import { createServer, type Server } from 'node:http';
import { readFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { loadVision } from '../../src/vision/opencv.ts';
import { compileFrom } from '../../src/worker/compile-vision.ts';
import { VisionLoader } from '../../src/worker/vision-loader.ts';

const WASM = readFileSync(new URL('../../src/vision/engine/opencv.wasm', import.meta.url));

let server: Server;
let address: string;

beforeAll(async () => {
  server = createServer((request, response) => {
    if (request.url === '/missing.wasm') response.writeHead(404).end();
    else if (request.url === '/page.wasm')
      response.writeHead(200, { 'content-type': 'text/html' }).end('<html>');
    else {
      const type = request.url === '/plain.wasm' ? 'application/octet-stream' : 'application/wasm';
      response.writeHead(200, { 'content-type': type }).end(WASM);
    }
  });
  await new Promise<void>((resolve) => {
    server.listen(0, '127.0.0.1', resolve);
  });
  address = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
});

afterAll(() => server.close());

const loaderFor = (file: string) =>
  new VisionLoader(() => loadVision((imports) => compileFrom(`${address}/${file}`, imports)));

describe('loading the vision engine over the network', () => {
  it('compiles it while it downloads', async () => {
    const outcome = await loaderFor('opencv.wasm').get();
    expect(outcome.ok && typeof outcome.value.cv.Mat).toBe('function');
  });

  it('manages with a host that sends it under another MIME type', async () => {
    expect((await loaderFor('plain.wasm').get()).ok).toBe(true);
  });

  it('tells in words that it is missing, and does not hang', async () => {
    const outcome = await loaderFor('missing.wasm').get();
    expect(outcome).toMatchObject({ ok: false, problem: { code: 'engine-missing' } });
    expect(!outcome.ok && outcome.problem.message).toContain('404');
  });

  it('tells in words that the host sent its start page in place of it', async () => {
    expect(await loaderFor('page.wasm').get()).toMatchObject({ problem: { code: 'engine-missing' } });
  });

  it('tries again after a failure, and loads once when all is well', async () => {
    let tries = 0;
    const loader = new VisionLoader(() =>
      loadVision((imports) => {
        tries++;
        if (tries === 1) return Promise.reject(new Error('offline'));
        return WebAssembly.instantiate(WASM, imports);
      }),
    );
    expect((await loader.get()).ok).toBe(false);
    const again = await Promise.all([loader.get(), loader.get()]);
    expect(again.map(({ ok }) => ok)).toEqual([true, true]);
    expect(tries).toBe(2);
  });
});
