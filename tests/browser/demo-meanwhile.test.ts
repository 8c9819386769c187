/** The maker changes the thickness while the demo is still being measured: the change holds, and so do the demo's names. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';

let app: RunningApp;
let opened: WatchedPage;
beforeAll(async () => {
  app = await startApp();
  opened = await app.newPage();
});
afterAll(async () => {
  await app?.close();
});

const PIECES = ['Crown front', 'Guard, left', 'Crest fin', 'Guard, right', 'Brow band'];

test('the demo keeps its names, and the changed thicknesses hold', async () => {
  const { page } = opened;
  const panel = page.getByRole('complementary');
  const thickness = panel.getByRole('textbox', { name: 'Thickness' });
  const pick = (photo: string) => panel.getByRole('button', { name: photo, exact: false }).first().click();
  const changeTo = async (value: string) => {
    await thickness.fill(value);
    await thickness.press('Enter');
  };
  await page.goto(app.origin);
  await page.getByRole('button', { name: 'Open the demo' }).click();
  await thickness.waitFor();
  // The first photo is being measured; the last one waits for its turn.
  await changeTo('9.5');
  await pick('Brow band');
  await changeTo('0.3');
  await page.getByRole('navigation', { name: 'Stages' }).getByText('Template', { exact: true }).click();
  await expect
    .poll(
      async () => {
        const words = await panel.innerText();
        return PIECES.filter((name) => !words.includes(name));
      },
      { timeout: 120_000, interval: 1000 },
    )
    .toEqual([]);
  await page.getByRole('navigation', { name: 'Stages' }).getByText('Capture', { exact: true }).click();
  await panel.getByRole('button', { name: 'Stop' }).waitFor({ state: 'detached', timeout: 60_000 });
  for (const [photo, value] of [
    ['Crown front', '9.5'],
    ['Brow band', '0.3'],
  ] as const) {
    await pick(photo);
    await expect.poll(() => thickness.inputValue()).toBe(value);
  }
  expect(opened.complaints).toEqual([]);
}, 200_000);
