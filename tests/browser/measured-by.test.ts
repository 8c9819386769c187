/** "Measured by" in a real browser: a photo without scale cards, measured by the bank card in it, then by two points. */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import type { Locator } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import { referenceScene } from '../simulator/reference-captures.ts';

const { scene } = referenceScene(7, { kind: 'bank-card', megapixels: 3, region: 'A4', tiltDeg: 8 });

/** The bank card's corners in the photo. */
function cornersPx() {
  const { centre, turnRad } = scene.bankCards[0]!;
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return [
    [-42.8, 26.99],
    [42.8, 26.99],
    [42.8, -26.99],
    [-42.8, -26.99],
  ].map(([x, y]) => project(scene.camera, centre.x + c * x! - s * y!, centre.y + s * x! + c * y!, 0.76));
}

async function photoFile(): Promise<string> {
  const { width, height, data } = await photograph(scene);
  const jpeg = await sharp(data, { raw: { width, height, channels: 4 } })
    .removeAlpha()
    .withExif({ IFD2: { FocalLengthIn35mmFilm: String(Math.round(scene.facts.focalLength35Mm ?? 26)) } })
    .jpeg({ quality: 92 })
    .toBuffer();
  const file = join(await mkdtemp(join(tmpdir(), 'foamwright-')), 'bank-card.jpg');
  await writeFile(file, jpeg);
  return file;
}

describe('what a photo is measured by', () => {
  let app: RunningApp;
  let opened: WatchedPage;
  let panel: Locator;

  beforeAll(async () => {
    app = await startApp();
    opened = await app.newPage();
    const { page } = opened;
    await page.goto(app.origin);
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'New build from a photo' }).click();
    await (await chooser).setFiles(await photoFile());
    panel = page.getByRole('complementary');
  });
  afterAll(async () => {
    await app?.close();
  });

  /** A box to tick in the part "Measured by". */
  const tick = (name: string) =>
    panel.getByRole('region', { name: 'Measured by' }).getByText(name, { exact: true });

  /** Taps the worktable at shares of its width and height. */
  async function tapTable(across: number, down: number): Promise<void> {
    const box = (await opened.page.locator('.worktable-box').boundingBox())!;
    await opened.page.mouse.click(box.x + across * box.width, box.y + down * box.height);
  }

  /** What was found shows while its pieces are still being traced; the change is made when that is done. */
  const traced = () => panel.getByRole('button', { name: 'Stop' }).waitFor({ state: 'detached' });

  /** Types a number into a field, by the keyboard alone. */
  async function type(name: string, value: number): Promise<void> {
    const field = panel.getByRole('textbox', { name });
    await field.fill(String(value));
    await field.press('Enter');
  }

  test('without scale cards it says so, and the bank card measures it', async () => {
    await panel.getByText('No scale card was found', { exact: false }).first().waitFor();
    await tick('Bank card').click();
    await panel.getByText('Found in the photo').waitFor();
    await tick('Scale cards').click();
    await panel.getByText('bank card', { exact: true }).waitFor();
    await panel.getByText('A bank card is small', { exact: false }).waitFor();
  });

  test('what is at hand to make it surer is told, and shown on the photo', async () => {
    await traced();
    const part = panel.getByRole('region', { name: 'How to make it surer' });
    const advice = part.getByRole('listitem');
    await advice
      .getByText(/ beside the bank card, would bring ±\s.* down to ±\s/u)
      .first()
      .waitFor();
    const sentences = await advice.allTextContents();
    expect(sentences.length).toBeLessThanOrEqual(4);
    expect(new Set(sentences).size).toBe(sentences.length);
    await part.getByText('Where it is sure').click();
    await part.getByText('How far off a tip may be', { exact: false }).waitFor();
    if (process.env['SHOTS']) await opened.page.screenshot({ path: `${process.env['SHOTS']}/surer.png` });
  });

  test('its corners can be pointed at, and the photo is measured anew by them', async () => {
    await panel.getByRole('button', { name: 'Point at its four corners' }).click();
    await panel.getByRole('button', { name: 'Type the place instead' }).click();
    for (const { u, v } of cornersPx()) {
      await type('From the left edge', Math.round(u) + 4);
      await type('From the top edge', Math.round(v) - 3);
      await panel.getByRole('button', { name: 'Put it there' }).click();
    }
    await panel.getByRole('button', { name: 'Point at its corners again' }).waitFor();
    await panel.getByText('bank card', { exact: true }).waitFor();
  });

  test('two points and their distance add to it, and undo takes them away', async () => {
    await tick('Two points').click();
    await panel.getByText('They add a length to what else', { exact: false }).waitFor();
    await tapTable(0.35, 0.5);
    await tapTable(0.65, 0.5);
    await type('Distance between them', 180);
    await panel.getByRole('button', { name: 'Use them' }).click();
    await panel.getByText('two points', { exact: true }).waitFor();
    await traced();
    await opened.page.getByRole('button', { name: 'Undo' }).click();
    await panel.getByText('two points', { exact: true }).waitFor({ state: 'detached' });
    expect(opened.complaints).toEqual([]);
  });
});
