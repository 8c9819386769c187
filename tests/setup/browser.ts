import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { build, type PreviewServer, preview } from 'vite';
import { CHROMIUM_FLAGS, findChromium } from './find-chromium.ts';

export interface RunningApp {
  readonly origin: string;
  /** A page in a browser profile of its own. */
  newPage(size?: { width: number; height: number }): Promise<WatchedPage>;
  close(): Promise<void>;
}

export interface WatchedPage {
  readonly page: Page;
  readonly context: BrowserContext;
  /** Console errors, uncaught errors and requests to other origins since the page was opened. */
  readonly complaints: readonly string[];
}

const SCHEMES_WITHOUT_NETWORK = ['blob:', 'data:'];

/** Notes everything that a quiet page would not do. */
function watch(page: Page, origin: string): string[] {
  const complaints: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => complaints.push(`uncaught: ${error.message}`));
  page.on('crash', () => complaints.push('the page crashed'));
  page.context().on('request', (request) => {
    const url = request.url();
    const isOurs = url.startsWith(`${origin}/`) || SCHEMES_WITHOUT_NETWORK.some((scheme) => url.startsWith(scheme));
    if (!isOurs) complaints.push(`request outside the origin: ${url}`);
  });
  return complaints;
}

/** Builds the app as users get it into `outDir` and serves it on a free port of this machine. */
async function serveBuild(outDir: string): Promise<{ server: PreviewServer; origin: string }> {
  await build({ logLevel: 'error', build: { outDir, emptyOutDir: true } });
  const server = await preview({
    logLevel: 'error',
    build: { outDir },
    preview: { port: 0, host: '127.0.0.1', open: false },
  });
  const address = server.httpServer.address();
  if (!address || typeof address === 'string') throw new Error('the preview server has no port');
  return { server, origin: `http://127.0.0.1:${address.port}` };
}

/** Builds and serves the app and starts headless Chromium; close it in afterAll. */
export async function startApp(): Promise<RunningApp> {
  const outDir = await mkdtemp(join(tmpdir(), 'foamwright-app-'));
  const { server, origin } = await serveBuild(outDir);
  const executablePath = findChromium();
  if (!executablePath) throw new Error('no Chromium: the global set-up should have said so');
  const browser = await chromium.launch({ executablePath, headless: true, args: CHROMIUM_FLAGS });
  return {
    origin,
    async newPage(size = { width: 1440, height: 900 }) {
      const context = await browser.newContext({ viewport: size, acceptDownloads: true });
      const page = await context.newPage();
      const complaints = watch(page, origin);
      return { page, context, complaints };
    },
    async close() {
      await browser.close();
      await server.close();
      await rm(outDir, { recursive: true, force: true });
    },
  };
}
