/** Work on the pattern in a real browser: a piece opened at lines, a seam joined and trued, a band, a size range, and its print. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Page } from 'playwright-core';
import { readFile } from 'node:fs/promises';
import { addPiece, setWrap } from '../../src/build/commands/pieces.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import type { Build } from '../../src/build/types.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { mapPath, type Path } from '../../src/geometry/path.ts';
import { circlePath } from '../../src/template/shapes.ts';
import { stamp } from '../build/sample-build.ts';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { fileOf, openBuild } from '../setup/open-build.ts';
import { readPdf } from '../template/read-pdf.ts';

const brow: Path = {
  closed: true,
  start: { x: -140, y: 0 },
  segments: [
    { kind: 'line', to: { x: 140, y: 0 }, joint: 'corner' },
    { kind: 'line', to: { x: 140, y: 35 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 100, y: 85 }, c2: { x: 55, y: 100 }, to: { x: 0, y: 100 }, joint: 'smooth' },
    {
      kind: 'cubic',
      c1: { x: -55, y: 100 },
      c2: { x: -100, y: 85 },
      to: { x: -140, y: 35 },
      joint: 'corner',
    },
    { kind: 'line', to: { x: -140, y: 0 }, joint: 'corner' },
  ],
};
const eye = (x: number) =>
  mapPath(circlePath({ x: 0, y: 0 }, 11), (p) => ({ x: x - 1.6 * p.x, y: 45 + p.y }));
const side: Path = {
  closed: true,
  start: { x: 0, y: 0 },
  segments: [
    { kind: 'line', to: { x: 120, y: 0 }, joint: 'corner' },
    { kind: 'line', to: { x: 120, y: 33 }, joint: 'corner' },
    { kind: 'cubic', c1: { x: 80, y: 60 }, c2: { x: 40, y: 60 }, to: { x: 0, y: 38 }, joint: 'corner' },
    { kind: 'line', to: { x: 0, y: 0 }, joint: 'corner' },
  ],
};

function heron(): Build {
  let build = newBuild({ stamp: stamp('build'), name: 'Marsh Heron Warden’s headpiece' });
  const made = (id: string, name: string, lines: PieceLine[]) => {
    build = addPiece(build, { stamp: stamp(id), name, why: 'drawn', lines });
  };
  made('brow', 'Brow', [
    { id: 'brow-cut', kind: 'cut', path: brow },
    { id: 'eye-left', kind: 'cutout', path: eye(-55) },
    { id: 'eye-right', kind: 'cutout', path: eye(55) },
  ]);
  made('side', 'Side', [{ id: 'side-cut', kind: 'cut', path: side }]);
  const line = { from: { x: -140, y: 20 }, to: { x: 140, y: 20 }, along: 'straight' as const };
  return setWrap(build, { pieceId: 'brow', wrap: { coverageRad: Math.PI, easeMm: 0, line } });
}

let app: RunningApp;
let opened: WatchedPage;
let page: Page;

beforeAll(async () => {
  app = await startApp();
  opened = await app.newPage({ width: 1440, height: 900 });
  page = opened.page;
  await openBuild(page, app.origin, fileOf(heron()));
  await toStage('Fit');
}, 60_000);
afterAll(async () => {
  await app?.close();
});

async function toStage(name: string): Promise<void> {
  await page.getByRole('navigation', { name: 'Stages' }).getByText(name, { exact: true }).click();
  await page.getByRole('complementary').getByRole('heading', { name, exact: true }).waitFor();
}
const panel = () => page.getByRole('complementary');
const press = (name: string | RegExp) => panel().getByRole('button', { name }).click();

test('a piece is opened by 20 mm at two lines, its eyes kept', async () => {
  await press('Make it longer at lines');
  await press('Add one across the wrap line');
  // The second line by two taps on the piece, from edge to edge.
  await press('Draw a line');
  const table = page.getByRole('application');
  const box = (await table.boundingBox())!;
  await table.click({ position: { x: box.width * 0.66, y: box.height * 0.2 } });
  await table.click({ position: { x: box.width * 0.66, y: box.height * 0.9 } });
  for (const name of ['Line 1 opens by', 'Line 2 opens by']) {
    const field = panel().getByRole('textbox', { name });
    await field.fill('10');
    await field.press('Enter');
  }
  const row = panel()
    .getByRole('row', { name: /^Wrap line/u })
    .last();
  await expect.poll(() => row.innerText()).toMatch(/280\.0\s+300\.0\s+\+20\.0/u);
  expect(await panel().getByText('Largest local stretch').count()).toBe(1);
  await press('Accept the opened piece');
  await expect.poll(() => page.getByRole('button', { name: /Undo/u }).first().isEnabled()).toBe(true);
  await expect.poll(() => panel().getByText('300.0', { exact: false }).count()).toBeGreaterThan(0);
});

test('two edges are joined, found too different, evened out, and are undone and done again', async () => {
  await press('Seams');
  await pick('Edge A from corner to corner', /^Edge 2/u);
  await pick('Piece of edge B', 'Side');
  await pick('Edge B from corner to corner', /38/u);
  await press('Join these edges');
  await panel().getByText('3.00 mm longer').waitFor();
  await press('Share it');
  await panel().getByText('They meet').waitFor();
  await page.keyboard.press('Control+z');
  await panel().getByText('3.00 mm longer').waitFor();
  await page.keyboard.press('Control+Shift+z');
  await panel().getByText('They meet').waitFor();
});

test('a curved band and a cross bar become pieces', async () => {
  await press('Bands and cross bar');
  await panel().getByText('Inner radius').waitFor();
  // 580 to 600 mm over 40 mm: radius 600 x 40 / 20.
  expect(await panel().getByText('1200.0 mm').count()).toBe(1);
  await press('Add the band as a piece');
  await panel()
    .getByRole('button', { name: /Joining band/u })
    .first()
    .waitFor();
  await panel()
    .getByRole('radiogroup', { name: 'What is made to measure' })
    .getByRole('radio', { name: 'Cross bar' })
    .click();
  await press('Add the bar as a piece');
  await panel()
    .getByRole('button', { name: /Cross bar/u })
    .first()
    .waitFor();
});

test('a size range is tabled, and printed nested with its notches on the other pieces', async () => {
  await pick('Piece', 'Brow');
  await press('Size range');
  await panel().getByRole('radio', { name: 'In steps' }).click();
  await expect.poll(() => panel().getByRole('row', { name: /64 cm/u }).count()).toBe(1);
  await press('Print the sizes');
  await pick('Sizes printed', 'All sizes, nested');
  const download = page.waitForEvent('download');
  await press('Template PDF');
  const pages = await readPdf(new Uint8Array(await readFile(await (await download).path())));
  const words = pages.flatMap((each) => each.words.map(({ text }) => text));
  for (const name of ['54 cm', '64 cm', 'A']) expect(words).toContain(name);
});

test('nothing was complained of', () => {
  expect(opened.complaints).toEqual([]);
});

/** Chooses from a list that opens. */
async function pick(label: string, option: string | RegExp): Promise<void> {
  await panel()
    .getByRole('button', { name: new RegExp(`(^| )${label}$`, 'u') })
    .click();
  await page.getByRole('option', { name: option }).click();
}
