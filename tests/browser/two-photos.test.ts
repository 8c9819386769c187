/** A piece longer than one photo, in a real browser: two simulated photos become one outline in true millimetres. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { polylinePath } from '../../src/geometry/path.ts';
import { smallestBox } from '../../src/geometry/smallest-box.ts';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { bandScene, longBand } from '../simulator/long-band.ts';
import { encodeJpeg } from '../simulator/photograph.ts';
import { renderScene } from '../simulator/render.ts';

/** Not the paper that a photo is taken for until the maker says more. */
const THICKNESS_MM = 0.8;
const PHOTOS = {
  left: { half: 'left', cardIds: [0, 1, 2, 3] },
  right: { half: 'right', cardIds: [2, 3, 4, 5] },
  alone: { half: 'right', cardIds: [4, 5] },
} as const;

async function goToStage(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Stages' }).getByText(name, { exact: true }).click();
  await page.getByRole('complementary').getByRole('heading', { name, exact: true }).waitFor();
}

async function choose(page: Page, button: string, file: string): Promise<void> {
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: button }).click();
  await (await chooser).setFiles(file);
}

describe('a piece longer than one photo', () => {
  let app: RunningApp;
  let opened: WatchedPage;
  let folder: string;
  const file = (name: keyof typeof PHOTOS) => join(folder, `${name}.jpg`);

  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'two-photos-'));
    for (const [name, how] of Object.entries(PHOTOS)) {
      const scene = bandScene({ ...how, megapixels: 2, thicknessMm: THICKNESS_MM });
      await writeFile(join(folder, `${name}.jpg`), await encodeJpeg(renderScene(scene), 92));
    }
    app = await startApp();
    opened = await app.newPage();
    await opened.page.goto(app.origin);
    await choose(opened.page, 'New build from a photo', file('left'));
    await opened.page.getByRole('complementary').getByText('Cards found').waitFor();
    const thickness = opened.page.getByRole('textbox', { name: 'Thickness' });
    await thickness.fill(String(THICKNESS_MM));
    await thickness.press('Enter');
    await opened.page.getByRole('button', { name: 'Undo: Set thickness' }).waitFor();
  });
  afterAll(async () => {
    await app?.close();
    await rm(folder, { recursive: true, force: true });
  });

  test('a photo that shares no card with it is refused in words, and the build stays whole', async () => {
    const { page } = opened;
    await choose(page, 'Add a photo of the rest', file('alone'));
    await page.getByText('Photo 2 shares no scale card with the rest').waitFor();
    await page.getByRole('button', { name: 'Put away' }).click();
    await page.getByRole('button', { name: /^alone/ }).click();
    await page.getByRole('button', { name: 'Remove this photo' }).click();
    await page.getByRole('button', { name: 'Add a photo of the rest' }).waitFor();
  });

  test('the second photo joins the first: cards of each, the cards they share, one length with its tolerance', async () => {
    const { page } = opened;
    await choose(page, 'Add a photo of the rest', file('right'));
    const panel = page.getByRole('complementary');
    await panel.getByText('2 photos, one solve.').waitFor();
    await panel.getByText('Photo 1, left: cards 0, 1, 2, 3').waitFor();
    await panel.getByText('Photo 2, right: cards 2, 3, 4, 5').waitFor();
    await panel.getByText(/^Tied by card 2 \((< )?0[.,]\d\d mm apart\), card 3/).waitFor();
    const measure = panel.locator('.measure', { hasText: 'Long side, from photos 1 and 2' });
    const value = Number(
      (await measure.locator('.measure-value span').first().innerText()).replace(',', '.'),
    );
    const truth = smallestBox(polylinePath(longBand(THICKNESS_MM).outer, true)).longMm;
    expect(Math.abs(value - truth)).toBeLessThan(0.5);
    expect(await measure.innerText()).toMatch(/± \d[.,]\d mm/);
    expect(await measure.innerText()).toContain('95 times in 100');
  });

  test('both photos lie on one table, seen together', async () => {
    const { page } = opened;
    await page.getByRole('radio', { name: 'All together' }).click();
    await page.getByLabel('2 photos joined on one table').first().waitFor();
    await page.getByRole('radio', { name: 'This photo' }).click();
  });

  test('the trace stage shows one piece for both photos, whichever is on the table', async () => {
    const { page } = opened;
    await goToStage(page, 'Trace');
    const panel = page.getByRole('complementary');
    await panel.getByText('1 piece').waitFor();
    await page.getByRole('button', { name: /^right/ }).click();
    await panel.getByText('1 piece').waitFor();
    await goToStage(page, 'Template');
    await page.getByRole('button', { name: 'Template PDF' }).waitFor();
  });

  test('joining is one step to undo, and outlives a reload with both photos', async () => {
    const { page } = opened;
    await goToStage(page, 'Capture');
    const panel = page.getByRole('complementary');
    await page.getByRole('button', { name: /Undo/ }).first().click();
    await panel.getByRole('button', { name: /^Join with/ }).waitFor();
    await page.getByRole('button', { name: /Redo/ }).first().click();
    await panel.getByText('2 photos, one solve.').waitFor();
    await page.getByText('kept in this browser').waitFor();
    await page.reload();
    await goToStage(page, 'Capture');
    await panel.getByText('Photo 2, right: cards 2, 3, 4, 5').waitFor();
  });

  test('nothing was complained of, and nothing was asked of another origin', () => {
    expect(opened.complaints).toEqual([]);
  });
});
