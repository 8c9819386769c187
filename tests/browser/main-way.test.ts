/** The main job by hand in a real browser: from the first screen through a practice photo to a printed page. */
import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { readTruth } from '../setup/truth.ts';
import { squaresOn } from '../template/check-squares.ts';
import { linesAcross, linesUp, rasterizePdf } from '../template/rasterize.ts';
import { type ReadPage, readPdf } from '../template/read-pdf.ts';

const truth = readTruth('brow-band');

/** Longest and shortest width of a shape over all directions, mm: the same however it is turned. */
function widthsMm(points: readonly PlanePoint[]): { longest: number; shortest: number } {
  let [longest, shortest] = [0, Infinity];
  for (let step = 0; step < 1800; step++) {
    const angle = (step * Math.PI) / 1800;
    const along = points.map(({ x, y }) => x * Math.cos(angle) + y * Math.sin(angle));
    const width = Math.max(...along) - Math.min(...along);
    longest = Math.max(longest, width);
    shortest = Math.min(shortest, width);
  }
  return { longest, shortest };
}

/** The largest cut line drawn in the file, as points on its curves. */
function largestOutline(pages: readonly ReadPage[]): PlanePoint[] {
  const outlines = pages.flatMap(({ paths }) =>
    paths
      .filter(
        ({ painted, dashMm, commands }) => painted === 'stroke' && dashMm.length === 0 && commands.length > 4,
      )
      .map(({ commands }) => {
        const points: PlanePoint[] = [];
        for (const { verb, points: own } of commands) {
          const from = points.at(-1);
          if (verb === 'cubic' && from) {
            const [c1, c2, to] = own as [PlanePoint, PlanePoint, PlanePoint];
            for (let i = 1; i <= 64; i++) {
              const [t, s] = [i / 64, 1 - i / 64];
              const weigh = (key: 'x' | 'y') =>
                s ** 3 * from[key] + 3 * s * s * t * c1[key] + 3 * s * t * t * c2[key] + t ** 3 * to[key];
              points.push({ x: weigh('x'), y: weigh('y') });
            }
          } else points.push(...own);
        }
        return points;
      }),
  );
  const extent = (points: readonly PlanePoint[]) =>
    Math.max(...points.map((point) => distanceMm(point, points[0]!)));
  return outlines.toSorted((a, b) => extent(b) - extent(a))[0]!;
}

async function goToStage(page: Page, name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Stages' }).getByText(name, { exact: true }).click();
  await page.getByRole('complementary').getByRole('heading', { name, exact: true }).waitFor();
}

async function openPhoto(page: Page, file: string): Promise<void> {
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'New build from a photo' }).click();
  await (await chooser).setFiles(file);
}

describe('from a photo to a printed template', () => {
  let app: RunningApp;
  let opened: WatchedPage;
  let pdf: Uint8Array;

  beforeAll(async () => {
    app = await startApp();
    opened = await app.newPage();
    await opened.page.goto(app.origin);
  });
  afterAll(async () => {
    await app?.close();
  });

  test('the photo is measured: all four cards, and a length with its tolerance', async () => {
    const { page } = opened;
    await openPhoto(page, truth.photoFile);
    const panel = page.getByRole('complementary');
    await panel.getByText('Cards found').waitFor();
    for (const { id } of truth.cards) await panel.getByText(String(id), { exact: true }).first().waitFor();
    await panel
      .getByText(/± \d+\.\d mm/)
      .first()
      .waitFor();
  });

  test('its piece is traced, named and sized', async () => {
    const { page } = opened;
    await goToStage(page, 'Trace');
    const name = page.getByRole('complementary').getByRole('textbox', { name: 'Name' }).first();
    await name.waitFor();
    await name.fill('Brow band');
    await name.press('Enter');
    await page.getByRole('complementary').getByText('1 piece').waitFor();
  });

  test('fold check and fit show numbers for it', async () => {
    const { page } = opened;
    await goToStage(page, 'Fold check');
    await page.getByText(/^Largest difference/).waitFor();
    await goToStage(page, 'Fit');
    await page.getByText('Wanted', { exact: true }).waitFor();
  });

  test('the template is downloaded', async () => {
    const { page } = opened;
    await goToStage(page, 'Template');
    const button = page.getByRole('button', { name: 'Template PDF' });
    const download = page.waitForEvent('download');
    await button.click();
    pdf = new Uint8Array(await readFile(await (await download).path()));
    expect(new TextDecoder().decode(pdf.subarray(0, 5))).toBe('%PDF-');
  });

  test('every page of it holds a 50 mm and a 2 in square, right to 0.1 mm on a 300 dpi picture by poppler', async () => {
    const pages = await readPdf(pdf);
    const pictures = await rasterizePdf(pdf, 300);
    for (const [i, page] of pages.entries()) {
      for (const sideMm of [50, 50.8]) {
        const square = squaresOn(page, sideMm)[0]!;
        const [low, middle] = [square.y + 0.1 * sideMm, square.x + 0.1 * sideMm];
        const across = linesAcross(pictures[i]!, low, square.x - 1, square.x + sideMm + 1);
        const up = linesUp(pictures[i]!, middle, square.y - 1, square.y + sideMm + 1);
        expect(Math.abs(across.at(-1)! - across[0]! - sideMm)).toBeLessThan(0.1);
        expect(Math.abs(up.at(-1)! - up[0]! - sideMm)).toBeLessThan(0.1);
      }
    }
  });

  test('the piece in it is as long and as wide as the piece that was photographed, to 0.1 mm', async () => {
    const printed = widthsMm(largestOutline(await readPdf(pdf)));
    const real = widthsMm(truth.pieces[0]!.outer);
    expect(Math.abs(printed.longest - real.longest)).toBeLessThan(0.1);
    expect(Math.abs(printed.shortest - real.shortest)).toBeLessThan(0.1);
  });

  test('the build outlives a reload, with its piece and its name', async () => {
    const { page } = opened;
    await page.getByText('kept in this browser').waitFor();
    await page.reload();
    await goToStage(page, 'Trace');
    await expect
      .poll(() => page.getByRole('complementary').getByRole('textbox', { name: 'Name' }).first().inputValue())
      .toBe('Brow band');
  });

  test('nothing was complained of, and nothing was asked of another origin', () => {
    expect(opened.complaints).toEqual([]);
  });
});
