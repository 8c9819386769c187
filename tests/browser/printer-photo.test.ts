/** The printer checked from a photo in a real browser: of two bank cards beside the page one is pointed at. */
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import sharp from 'sharp';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { pageBetweenTwoBankCards, tappedBankCard } from '../simulator/card-page.ts';
import { photograph } from '../simulator/photograph.ts';

const scene = pageBetweenTwoBankCards();
let app: RunningApp;
let opened: WatchedPage;

beforeAll(async () => {
  app = await startApp();
  opened = await app.newPage(process.env['PHONE'] ? { width: 390, height: 844 } : undefined);
});
afterAll(async () => {
  await app?.close();
});

async function photoFile(): Promise<string> {
  const { width, height, data } = await photograph(scene);
  const jpeg = await sharp(data, { raw: { width, height, channels: 4 } })
    .removeAlpha()
    .withExif({ IFD2: { FocalLengthIn35mmFilm: String(scene.facts.focalLength35Mm) } })
    .jpeg({ quality: 92 })
    .toBuffer();
  const file = join(await mkdtemp(join(tmpdir(), 'foamwright-')), 'page.jpg');
  await writeFile(file, jpeg);
  return file;
}

test('a bank card is pointed at on the photo of the page, and the printer kept without a bar', async () => {
  const { page } = opened;
  await page.goto(app.origin);
  await page.getByText('A bank card lies beside the page').click();
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'Check my printer from a photo' }).click();
  await (await chooser).setFiles(await photoFile());
  await page.getByText('things in the photo could be the bank card', { exact: false }).waitFor();
  await page.getByRole('button', { name: 'Point at the bank card' }).click();
  await page.getByText('Tap its first corner', { exact: false }).waitFor();
  const table = page.locator('.worktable-box');
  await table.scrollIntoViewIfNeeded();
  if (process.env['SHOTS']) await page.screenshot({ path: `${process.env['SHOTS']}/printer-point.png` });
  // A tap on the photo is a place, which can be taken back.
  const box = (await table.boundingBox())!;
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await page.getByText('Tap its second corner', { exact: false }).waitFor();
  await page.getByRole('button', { name: 'Take back' }).click();
  await page.getByRole('button', { name: 'Type the place instead' }).click();
  for (const { u, v } of tappedBankCard(scene)) {
    for (const [name, value] of [
      ['From the left edge', u],
      ['From the top edge', v],
    ] as const) {
      const field = page.getByRole('textbox', { name });
      await field.fill(String(value));
      await field.press('Enter');
    }
    await page.getByRole('button', { name: 'Put it there' }).click();
  }
  await page.getByText('The bank card tells how large the page is', { exact: false }).waitFor();
  await page.getByText('Printed at, across').waitFor();
  if (process.env['SHOTS'])
    await page.screenshot({ path: `${process.env['SHOTS']}/printer-found.png`, fullPage: true });
  await page.getByRole('button', { name: 'Keep this printer' }).click();
  await page.getByRole('button', { name: /^Forget / }).waitFor();
  expect(opened.complaints).toEqual([]);
});
