/** Drawn lines in a real browser: a pencil drawing with a gap becomes a piece, its gap is refused, undo brings it back. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type RunningApp, startApp } from '../setup/browser.ts';
import { encodeJpeg } from '../simulator/photograph.ts';
import { flatCard } from '../simulator/presets.ts';
import { renderScene } from '../simulator/render.ts';
import { drawn, drawnScene, guardOutline, scoreLine } from '../trace/drawn-scene.ts';

let app: RunningApp;
let folder: string;
let file: string;

beforeAll(async () => {
  const outline = guardOutline();
  const open = [...outline.slice(52), ...outline.slice(0, 51)];
  const cards = [
    [-200, 70],
    [205, 60],
    [200, -90],
    [-195, -95],
  ].map(([x, y], id) => flatCard({ id, centre: { x: x!, y: y! }, turnRad: 0.4 * id }));
  const lines = [drawn(open, false, 'pencil', 1, 0.85), drawn(scoreLine(), false, 'pencil', 0.7, 0.85)];
  const scene = { ...drawnScene(12, lines, { distanceMm: 400 }), cards };
  folder = await mkdtemp(join(tmpdir(), 'drawn-'));
  file = join(folder, 'drawing.jpg');
  await writeFile(file, await encodeJpeg(renderScene(scene), 92));
  app = await startApp();
});
afterAll(async () => {
  await app?.close();
  await rm(folder, { recursive: true, force: true });
});

test('a drawing becomes a piece with a score line; its gap can be left open, and undo bridges it again', async () => {
  const { page } = await app.newPage();
  await page.goto(app.origin);
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'New build from a photo' }).click();
  await (await chooser).setFiles(file);
  const panel = page.getByRole('complementary');
  await panel.getByText('Cards found').waitFor();
  await page.getByRole('navigation', { name: 'Stages' }).getByText('Trace', { exact: true }).click();
  await panel.getByRole('radio', { name: 'Drawn lines' }).click();
  await panel.getByText(/^Gap 1: \d+\.\d mm, bridged$/).waitFor();
  await panel.getByRole('heading', { name: '1 piece' }).waitFor();
  await panel.getByRole('button', { name: 'Leave gap 1 open' }).click();
  await panel.getByText('No closed outline was found on the paper.').waitFor();
  await panel.getByText(/^Line 1: \d+\.\d mm, left out$/).waitFor();
  expect(await panel.getByRole('radio', { name: 'Leave out' }).isChecked()).toBe(true);
  await page.getByRole('button', { name: /^Undo/ }).click();
  await panel.getByText(/^Gap 1: \d+\.\d mm, bridged$/).waitFor();
  await panel.getByRole('heading', { name: '1 piece' }).waitFor();
  expect(await panel.getByRole('button', { name: 'Leave gap 1 open' }).count()).toBe(1);
});
