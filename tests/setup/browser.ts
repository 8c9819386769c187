import { existsSync } from 'node:fs';
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { build, type PreviewServer, preview } from 'vite';
import { BUILD_FOLDER_VARIABLE } from './build-folder.ts';
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
    const isOurs =
      url.startsWith(`${origin}/`) || SCHEMES_WITHOUT_NETWORK.some((scheme) => url.startsWith(scheme));
    if (!isOurs) complaints.push(`request outside the origin: ${url}`);
  });
  return complaints;
}

/** Builds the app as users get it, once for a whole test run; other test files wait for it. */
async function builtApp(): Promise<string> {
  const folder = process.env[BUILD_FOLDER_VARIABLE];
  if (!folder) throw new Error('the global set-up names the folder of the build');
  const at = (name: string) => join(folder, name);
  const isOurs = await mkdir(at('lock')).then(
    () => true,
    () => false,
  );
  if (isOurs) {
    try {
      await build({ logLevel: 'error', build: { outDir: at('app'), emptyOutDir: true } });
    } catch (cause) {
      await writeFile(at('failed'), '');
      throw cause;
    }
    await writeFile(at('done'), '');
  }
  while (!existsSync(at('done'))) {
    if (existsSync(at('failed'))) throw new Error('the app does not build: see the other browser test');
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
  return at('app');
}

/** Serves a build on a free port of this machine. */
async function serve(outDir: string): Promise<{ server: PreviewServer; origin: string }> {
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
  const { server, origin } = await serve(await builtApp());
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
    },
  };
}
