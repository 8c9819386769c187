/** The whole fit stage by hand in a real browser: wearer, foam, holding, wrap, pieces round the head, the head from above. */
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { fileOf, openBuild } from '../setup/open-build.ts';
import { stripBuild } from '../build/strip-build.ts';

const axeSource = await readFile(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Strips for front, sides (cut twice) and back, 110 + 75 + 100 + 75 degrees of the way, and a band all round. */
const BUILD = stripBuild([
  { name: 'Front', longMm: 180, coverageDeg: 110 },
  { name: 'Side', longMm: 125, coverageDeg: 75, count: 2 },
  { name: 'Back', longMm: 165, coverageDeg: 100 },
  { name: 'Band', longMm: 580, coverageDeg: 360 },
]);

/** Closed bands round 580 mm without ease, K 0.5 (FACTS section 3). */
const CLOSED_MM = { 6: 598.85, 8: 605.13, 10: 611.42 } as const;

const panelOf = (page: Page) => page.getByRole('complementary');
const partOf = (page: Page, name: string) => panelOf(page).getByRole('region', { name, exact: true });

async function pick(page: Page, label: RegExp | string, option: string): Promise<void> {
  await panelOf(page).getByRole('button', { name: label }).click();
  await page.getByRole('option', { name: new RegExp(`^${option}( \\d+ mm)?$`, 'u') }).click();
}

async function enter(page: Page, label: string, text: string): Promise<void> {
  const field = panelOf(page).getByRole('textbox', { name: label, exact: true });
  await field.fill(text);
  await field.press('Enter');
  await field.blur();
}

/** The large number over this word, mm. */
async function figure(page: Page, label: string): Promise<number> {
  const measure = page.locator('.measure', { has: page.getByText(label, { exact: true }) });
  return Number.parseFloat(await measure.locator('.measure-value span').first().innerText());
}

const wanted = (page: Page) => figure(page, 'Wanted');

describe('the fit stage', () => {
  let app: RunningApp;
  let opened: WatchedPage;
  let page: Page;

  beforeAll(async () => {
    app = await startApp();
    opened = await app.newPage();
    ({ page } = opened);
    // Everything is at hand: what does not come soon does not come.
    page.setDefaultTimeout(8000);
    await openBuild(page, app.origin, fileOf(BUILD));
    await page.getByRole('navigation', { name: 'Stages' }).getByText('Fit', { exact: true }).click();
    await page.getByText('Wanted', { exact: true }).waitFor();
  });
  afterAll(async () => {
    await app?.close();
  });

  test('a closed band is as long as the table says in 6, 8 and 10 mm foam, and the difference is told', async () => {
    await pick(page, /Piece$/u, 'Band');
    for (const [thickness, mm] of Object.entries(CLOSED_MM)) {
      await pick(page, /is cut from$/u, `${thickness} mm foam`);
      await expect.poll(() => wanted(page)).toBeCloseTo(mm, 0);
    }
    const foam = partOf(page, 'Foam');
    // 4 pi mm between 6 and 10 mm foam, all the way round.
    expect(await foam.innerText()).toContain('in 6 mm foam it would be cut 12.6 mm shorter');
    await foam.getByRole('button', { name: 'This wrap in other foam' }).click();
    for (const [thickness, mm] of Object.entries(CLOSED_MM)) {
      const row = foam.getByRole('row', { name: new RegExp(`^${thickness} mm foam`, 'u') });
      expect(await row.innerText()).toContain(mm.toFixed(2));
    }
  });

  test('a girth in inches is taken as the tape says it, and an odd one is told kindly', async () => {
    const wearer = partOf(page, 'Wearer');
    await wearer.getByText('inch', { exact: true }).click();
    await enter(page, 'Head girth', '22 7/8');
    await expect.poll(() => wanted(page)).toBeCloseTo(22.875 * 25.4 + Math.PI * 10, 0);
    await enter(page, 'Head girth', '20 1/4');
    await wearer.getByText(/rarer than 1 adult in 100/u).waitFor();
    await wearer.getByText('mm', { exact: true }).first().click();
    await enter(page, 'Head girth', '580');
    await expect.poll(() => wanted(page)).toBeCloseTo(611.42, 0);
  });

  test('other measures are estimated until they are taken, then held against the rest', async () => {
    const wearer = partOf(page, 'Wearer');
    await wearer.getByRole('button', { name: 'More measures of this head' }).click();
    const length = panelOf(page).getByRole('textbox', { name: 'Head length', exact: true });
    expect(await length.getAttribute('placeholder')).toMatch(/^likely 199 ± \d+$/u);
    await enter(page, 'Head length', '176');
    await wearer.getByText(/^Head length of 176 mm goes oddly/u).waitFor();
    await enter(page, 'Head length', '198');
    await expect.poll(() => wearer.getByText(/goes oddly/u).count()).toBe(0);
    await wearer.getByRole('button', { name: 'More measures of this head' }).click();
  });

  test('a second wearer has measures of their own', async () => {
    await partOf(page, 'Wearer').getByRole('button', { name: 'Another wearer' }).click();
    await enter(page, 'Head girth', '560');
    await expect.poll(() => wanted(page)).toBeCloseTo(591.42, 0);
    await pick(page, /Made for$/u, 'Wren');
    await expect.poll(() => wanted(page)).toBeCloseTo(611.42, 0);
  });

  test('a test strip gives K with its doubt, and the wrap follows', async () => {
    const foam = partOf(page, 'Foam');
    await foam.getByRole('button', { name: /^How it bends/u }).click();
    // K = (strip - girth) / (2 pi t) when the ends meet: 0.6 here.
    await enter(page, 'Strip, lying flat', '607.7');
    await foam.getByText(/K = 0\.60 ± 0\.0\d/u).waitFor();
    await foam.getByRole('button', { name: 'Use it for this foam' }).click();
    await expect.poll(() => wanted(page)).toBeCloseTo(580 + 2 * Math.PI * 6, 0);
    await page.getByRole('button', { name: /^Undo/u }).click();
    await expect.poll(() => wanted(page)).toBeCloseTo(611.42, 0);
    await foam.getByRole('button', { name: /^How it bends/u }).click();
  });

  test('liner and a first layer underneath make it longer', async () => {
    const foam = partOf(page, 'Foam');
    await foam.getByRole('button', { name: 'Liner, padding, second layer' }).click();
    await enter(page, 'Liner', '2');
    await pick(page, /lies on$/u, 'a first layer of 5 mm foam');
    await expect.poll(() => wanted(page)).toBeCloseTo(580 + 2 * Math.PI * (2 + 5 + 5), 0);
    await pick(page, /lies on$/u, 'the head');
    await enter(page, 'Liner', '0');
    await expect.poll(() => wanted(page)).toBeCloseTo(611.42, 0);
  });

  test('tension takes its usual ease, within a limit and with the headache caution; a cross bar leaves room', async () => {
    const holding = partOf(page, 'How it stays on');
    await holding.getByText('Tension', { exact: true }).click();
    await holding.getByText(/common practice, no source/u).waitFor();
    await holding.getByText(/headache within the hour/u).waitFor();
    await expect.poll(() => wanted(page)).toBeCloseTo(606.42, 0);
    await enter(page, 'Ease', '-40');
    // 2 % of 580 mm.
    await expect.poll(() => wanted(page)).toBeCloseTo(599.42, 0);
    await holding.getByText('Cross bar', { exact: true }).click();
    await expect.poll(() => wanted(page)).toBeCloseTo(626.42, 0);
    // Nothing presses, so nothing is said of pressing.
    expect(await holding.getByText(/headache/u).count()).toBe(0);
  });

  test('front, sides and back go round together, with a gap that fitting all closes', async () => {
    await pick(page, /Piece$/u, 'Front');
    const together = partOf(page, 'Together round the head');
    for (const name of ['Side', 'Back', 'Side'])
      await together.getByRole('button', { name, exact: true }).click();
    await expect.poll(() => together.locator('.round-place').count()).toBe(4);
    // Twice the side: 180 + 125 + 165 + 125 of 611.42 mm.
    await together.getByText('595.0 mm').waitFor();
    await together.getByText('gap 16.4 mm').waitFor();
    await together
      .getByText(/wearer’s left/u)
      .first()
      .waitFor();
    await together.getByRole('button', { name: 'Fit all 4' }).click();
    await together.getByText('ends meet').waitFor();
    await together.getByText('611.4 mm', { exact: true }).waitFor();
  });

  test('the head from above shows each piece in its place, drawn to scale', async () => {
    // The table no longer offers the fitted piece beside the one that fits.
    await expect.poll(() => page.getByText('Fitted', { exact: true }).count()).toBe(0);
    await page.getByText('From above', { exact: true }).click();
    const picture = page.getByRole('main').getByRole('img');
    await picture.waitFor();
    expect(await picture.getAttribute('aria-label')).toBe(
      'The head from above with Front, Side, Back, Side round it: ends meet',
    );
    expect(await picture.textContent()).toContain('Front');
    const box = (selector: string) =>
      picture.locator(selector).evaluateAll((paths) => {
        const boxes = paths.map((path) => (path as SVGGraphicsElement).getBBox());
        const side = (of: (box: DOMRect) => number, pick: (...all: number[]) => number) =>
          pick(...boxes.map(of));
        return {
          width: side((b) => b.x + b.width, Math.max) - side((b) => b.x, Math.min),
          height: side((b) => b.y + b.height, Math.max) - side((b) => b.y, Math.min),
        };
      });
    // In mm: the head is 198 long as measured; 10 mm of foam stand round it.
    const [head, foam] = [await box('.above-head'), await box('.above-foam')];
    expect(head.height).toBeCloseTo(198, 0);
    expect(foam.height - head.height).toBeCloseTo(20, 0);
    expect(foam.width - head.width).toBeCloseTo(20, 0);
  });

  test('opened wide, at every width and from above, it breaks no rule of axe and stays within the screen', async () => {
    for (const title of ['More measures of this head', 'Hat sizes', /^How it bends/u])
      await panelOf(page).getByRole('button', { name: title }).click();
    await page.evaluate(axeSource);
    for (const size of [
      { width: 1440, height: 900 },
      { width: 390, height: 844 },
    ]) {
      await page.setViewportSize(size);
      await page.getByText('From above', { exact: true }).click();
      await page.waitForTimeout(300);
      expect(
        await page.evaluate(() => document.documentElement.scrollWidth - innerWidth),
      ).toBeLessThanOrEqual(0);
      const broken = await page.evaluate(async () => {
        const { axe } = globalThis as unknown as {
          axe: { run(o: object): Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> };
        };
        const { violations } = await axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21aa'] });
        return violations.flatMap(({ id, nodes }) => nodes.map(({ target }) => `${id}: ${target.join(' ')}`));
      });
      expect(broken).toEqual([]);
    }
    await page.setViewportSize({ width: 1440, height: 900 });
    await page.getByText('As it is', { exact: true }).click();
  });

  test('cautions stand where they are read', async () => {
    const panel = panelOf(page);
    const mind = panel.getByRole('button', { name: 'What to mind' });
    if ((await mind.getAttribute('aria-expanded')) === 'false') await mind.click();
    const words = await panel.innerText();
    for (const caution of ['headache within the hour', 'See and hear before you walk', 'This is costume'])
      expect(words).toContain(caution);
  });

  test('nothing was complained of, and nothing was asked of another origin', () => {
    expect(opened.complaints).toEqual([]);
  });
});
