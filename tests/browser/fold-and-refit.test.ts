/** Halves mended and excused, a pair laid, a trimmed mock-up taken back and a taped print checked, by hand in a real browser. */
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { openBuild } from '../setup/open-build.ts';
import { FEATHER_MM, foldBuildFile, PAIR_BUMP_MM, SEAM_MM, SLIP_MM, TRIM_MM } from './fold-build.ts';

async function goToStage(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Stages' }).getByText(name, { exact: true }).click();
  await page.getByRole('complementary').getByRole('heading', { name, exact: true }).waitFor();
}

async function pick(page: Page, label: string, option: string | RegExp): Promise<void> {
  await page
    .getByRole('complementary')
    .getByRole('button', { name: new RegExp(`${label}$`) })
    .click();
  await page.getByRole('option', { name: option, exact: true }).click();
}

/** The large figure under a label. */
async function figure(page: Page, label: string): Promise<number> {
  const measure = page.locator('.measure', { hasText: label });
  return Number.parseFloat(await measure.locator('.measure-value').first().innerText());
}

describe('folding and refitting', () => {
  let app: RunningApp;
  let opened: WatchedPage;
  let page: Page;

  beforeAll(async () => {
    app = await startApp();
    opened = await app.newPage();
    ({ page } = opened);
    await openBuild(page, app.origin, foldBuildFile());
  });
  afterAll(async () => {
    await app?.close();
  });

  const panel = () => page.getByRole('complementary');
  const places = () => panel().getByRole('button', { name: /is uneven on purpose$/ });
  const undo = () => page.getByRole('button', { name: /^Undo/ }).click();

  test('the fold check finds both slips, and the fold line can go through the two marks', async () => {
    await goToStage(page, 'Fold check');
    await panel().getByText('Place by place').waitFor();
    expect(await places().count()).toBe(2);
    expect(await figure(page, 'Largest difference')).toBeCloseTo(FEATHER_MM, 0);
    await panel().getByText('Pair of marks 1').click();
    await panel().getByText('Through two marks on the piece.').waitFor();
  });

  test('one place is mended alone, with the change told first; undo brings it back', async () => {
    await panel().getByRole('radio', { name: 'Average' }).click();
    await pick(page, 'Where', /only place 2/);
    await panel().getByText('the rest stays as it is', { exact: false }).waitFor();
    await expect
      .poll(() => figure(page, 'Moves the edge by at most'), { timeout: 15_000 })
      .toBeCloseTo(SLIP_MM / 2, 0);
    await panel().getByRole('button', { name: 'Accept the mended piece' }).click();
    await expect.poll(() => places().count()).toBe(1);
    await undo();
    await expect.poll(() => places().count()).toBe(2);
  });

  test('a stretch that is uneven on purpose is named and no longer counts', async () => {
    await panel().getByRole('button', { name: 'Place 1 is uneven on purpose' }).click();
    const name = panel().getByRole('textbox', { name: /Uneven on purpose, 4\.0 mm/ });
    await name.fill('lantern feather');
    await name.press('Enter');
    await panel().getByRole('button', { name: 'Count lantern feather again' }).waitFor();
    await expect.poll(() => figure(page, 'Largest difference')).toBeCloseTo(SLIP_MM, 0);
    expect(await places().count()).toBe(1);
  });

  test('the whole piece is mended, and is within the limit then', async () => {
    await panel().getByRole('radio', { name: 'Right', exact: true }).click();
    await panel().getByRole('button', { name: 'Accept the mended piece' }).click();
    await panel().getByText('Everywhere within the limit', { exact: false }).waitFor();
    await undo();
  });

  test('the fold card is a PDF', async () => {
    const download = page.waitForEvent('download');
    await panel().getByRole('button', { name: 'Fold card PDF' }).click();
    expect((await download).suggestedFilename()).toBe('visor-fold-card-A4.pdf');
  });

  test('the right guard, turned over on the left one, shows its bump', async () => {
    await pick(page, 'Piece', 'Guard, left');
    await pick(page, 'Checked against', /Guard, right/);
    await expect
      .poll(() => figure(page, 'Largest difference').catch(() => 0), { timeout: 15_000 })
      .toBeCloseTo(PAIR_BUMP_MM, 0);
    expect(await places().count()).toBe(1);
  });

  test('a trimmed mock-up is laid on its piece, told and accepted as the next revision', async () => {
    await pick(page, 'Piece', 'Visor');
    await goToStage(page, 'Refit');
    await pick(page, 'Laid on it', 'Visor, tried on');
    await panel().getByText('Take it over').waitFor();
    expect(await figure(page, 'Trimmed at most')).toBeCloseTo(TRIM_MM, 0);
    await panel().getByRole('button', { name: 'Accept these changes' }).click();
    await panel()
      .getByText(/^2 trimmed \d\.\d mm at most \(Visor, tried on\)$/)
      .waitFor();
    await panel().getByRole('button', { name: 'Compare revision 2 with revision 1' }).click();
    await expect
      .poll(() => figure(page, 'Trimmed at most').catch(() => 0), { timeout: 15_000 })
      .toBeCloseTo(TRIM_MM, 0);
    // The mock-up is the piece now: it is not cut a second time.
    await goToStage(page, 'Template');
    await expect.poll(() => panel().innerText()).toContain('4 pieces');
    await undo();
    await expect.poll(() => panel().innerText()).toContain('5 pieces');
  });

  test('of a taped print it tells the seam that slipped', async () => {
    await goToStage(page, 'Refit');
    await pick(page, 'Laid on it', 'Visor, taped');
    await panel().getByRole('radio', { name: 'Print', exact: true }).click();
    const words = panel().getByText(/slipped \d\.\d mm along it/);
    await words.first().waitFor();
    const slipped = /slipped (\d\.\d) mm/.exec(await words.first().innerText());
    expect(Math.abs(Number(slipped![1]) - SEAM_MM)).toBeLessThan(0.3);
    await panel()
      .getByText('too small', { exact: false })
      .or(panel().getByText('too large'))
      .first()
      .waitFor();
  });

  test('nothing was complained of, and nothing was asked of another origin', () => {
    expect(opened.complaints).toEqual([]);
  });
});
