/** The screens with the demo build in a real browser: every stage at three widths, by axe's rules, kept and carried as a file. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { openBuild } from '../setup/open-build.ts';

const STAGES = ['Capture', 'Trace', 'Fold check', 'Fit', 'Template', 'Refit'];
const WIDTHS = [
  { width: 1440, height: 900 },
  { width: 1024, height: 768 },
  { width: 390, height: 844 },
];
const DEMO_PIECES = ['Crown front', 'Guard, left', 'Crest fin', 'Guard, right', 'Brow band'];

const axeSource = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

async function goToStage(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Stages' }).getByText(name, { exact: true }).click();
  await page.getByRole('complementary').getByRole('heading', { name, exact: true }).waitFor();
}

/** Violations of WCAG 2 A and AA by axe-core, an independent checker: rule and place. */
async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: {
        run(options: object): Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }>;
      };
    };
    const result = await axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa'] });
    return result.violations.flatMap(({ id, nodes }) =>
      nodes.map(({ target }) => `${id}: ${target.join(' ')}`),
    );
  });
}

/** All that the template stage says beside its pages: it lists the pieces. */
async function templateWords(page: Page): Promise<string> {
  await goToStage(page, 'Template');
  return page.getByRole('complementary').innerText();
}

async function openDemo(page: Page, origin: string): Promise<void> {
  await page.goto(origin);
  await page.getByRole('button', { name: 'Open the demo' }).click();
  await page.getByRole('complementary').getByText('Cards found').waitFor();
}

describe('the demo build', () => {
  let app: RunningApp;
  let opened: WatchedPage;

  beforeAll(async () => {
    app = await startApp();
    opened = await app.newPage(WIDTHS[0]);
    await openDemo(opened.page, app.origin);
  });
  afterAll(async () => {
    await app?.close();
  });

  test('is measured and traced from its photos, one click from the first screen', async () => {
    await expect
      .poll(
        async () => {
          const words = await templateWords(opened.page);
          return DEMO_PIECES.filter((name) => !words.includes(name));
        },
        { timeout: 100_000, interval: 500 },
      )
      .toEqual([]);
  }, 120_000);

  describe.each(WIDTHS)('at $width px', (size) => {
    test.each(STAGES)('%s keeps within the width and breaks no rule of axe', async (stage) => {
      const { page } = opened;
      await page.setViewportSize(size);
      await goToStage(page, stage);
      await page.waitForTimeout(400);
      const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(overflow).toBeLessThanOrEqual(0);
      expect(await violations(page)).toEqual([]);
    });
  });

  test('a piece photographed in thick foam is offered that foam', async () => {
    const { page } = opened;
    await page.setViewportSize(WIDTHS[0]!);
    await goToStage(page, 'Fit');
    const offer = page.getByRole('button', { name: 'Cut it from 10 mm foam' });
    await offer.click();
    await offer.waitFor({ state: 'detached' });
    await page.getByRole('button', { name: /10 mm foam.*Crown front is cut from/u }).waitFor();
    await page.keyboard.press('Control+z');
    await offer.waitFor();
  });

  test('is undone and done again by keys', async () => {
    const { page } = opened;
    await page.setViewportSize(WIDTHS[0]!);
    await goToStage(page, 'Trace');
    const name = page.getByRole('complementary').getByRole('textbox', { name: 'Name' }).first();
    const before = await name.inputValue();
    await name.fill('Heron crown');
    await name.press('Enter');
    await page.getByRole('heading', { name: 'Trace', exact: true }).click();
    await page.keyboard.press('Control+z');
    await expect.poll(() => name.inputValue()).toBe(before);
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(() => name.inputValue()).toBe('Heron crown');
  });

  test('goes into one file and comes back out of it in a browser that never saw it', async () => {
    const { page } = opened;
    await page.getByRole('button', { name: 'File' }).click();
    const download = page.waitForEvent('download');
    await page.getByRole('menuitem', { name: /save/i }).click();
    const file = await (await download).path();

    const fresh = await app.newPage();
    await openBuild(fresh.page, app.origin, await readFile(file));
    expect(await templateWords(fresh.page)).toContain('Heron crown');
    expect(fresh.complaints).toEqual([]);
    await fresh.context.close();
  });

  test('nothing was complained of, and nothing was asked of another origin', () => {
    expect(opened.complaints).toEqual([]);
  });
});

describe('when something is missing', () => {
  let app: RunningApp;
  beforeAll(async () => {
    app = await startApp();
  });
  afterAll(async () => {
    await app?.close();
  });

  test('a lost vision engine is told in words and the screen stays usable', async () => {
    const { page, context } = await app.newPage();
    await context.route('**/*.wasm', (route) => route.fulfill({ status: 404, body: 'gone' }));
    await page.goto(app.origin);
    await page.getByRole('button', { name: 'Open the demo' }).click();
    await page
      .getByText(/engine/i)
      .first()
      .waitFor();
    await goToStage(page, 'Template');
    await context.close();
  });

  test('a file that is no photo is refused in words', async () => {
    const { page, context, complaints } = await app.newPage();
    await page.goto(app.origin);
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'New build from a photo' }).click();
    await (await chooser).setFiles({
      name: 'notes.jpg',
      mimeType: 'image/jpeg',
      buffer: Buffer.from('Buy more foam.'),
    });
    await page
      .getByRole('alert')
      .or(page.getByRole('status'))
      .getByText(/photo|picture/i)
      .first()
      .waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });
});
