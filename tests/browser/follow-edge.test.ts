/** Following the edge in a practice photo in a real browser: an outline that was pulled away is put back, by mouse and by keys. */
import { afterAll, beforeAll, beforeEach, expect, test } from 'vitest';
import { moveBetween } from '../../src/geometry/edit/stretch.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { subPath } from '../../src/geometry/split-path.ts';
import { pathLengthMm } from '../../src/geometry/measure.ts';
import { pointAt } from '../../src/geometry/place.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { readTruth } from '../setup/truth.ts';
import { Hand } from './editor-hand.ts';

let app: RunningApp;
let opened: WatchedPage;
let hand: Hand;
let traced: readonly PieceLine[];

beforeAll(async () => {
  app = await startApp();
  opened = await app.newPage();
  const { page } = opened;
  await page.goto(app.origin);
  const chooser = page.waitForEvent('filechooser');
  await page.getByRole('button', { name: 'New build from a photo' }).click();
  await (await chooser).setFiles(readTruth('brow-band').photoFile);
  await page.getByRole('complementary').getByText('Cards found').waitFor();
  await page.getByRole('navigation', { name: 'Stages' }).getByText('Trace', { exact: true }).click();
  await page.getByRole('button', { name: 'Edit the lines' }).click();
  await page.getByRole('heading', { name: 'Edit the lines' }).waitFor();
  hand = new Hand(page, []);
  traced = await hand.lines();
  hand = new Hand(page, traced, true);
}, 60_000);
afterAll(async () => {
  await app?.close();
});
beforeEach(() => hand.rest());

const outline = () => traced[0]!.path;
/** The longest segment: its joints are far apart, so that the edge between is long. */
const longest = () => {
  const lengths = outline().segments.map((_, i) =>
    pathLengthMm(subPath(outline(), { segment: i, t: 0 }, { segment: i, t: 1 })),
  );
  return lengths.indexOf(Math.max(...lengths));
};
const onLongest = (t: number): PlanePoint => pointAt(outline(), { segment: longest(), t });

/** Pulls the outline 15 mm away in the middle of its longest segment. */
async function pullAway(): Promise<void> {
  await hand.choose('Tool', 'Add joints');
  await hand.click(onLongest(0.5));
  await hand.choose('Tool', 'Pick and move');
  const at = onLongest(0.5);
  await hand.drag(at, { x: at.x + 6, y: at.y + 14 });
  const [pulled] = await hand.lines();
  expect(moveBetween(outline(), pulled!.path).maxMm).toBeGreaterThan(5);
  await hand.rest();
}

async function expectPutBack(): Promise<void> {
  await expect.poll(() => hand.undoLabel(), { timeout: 20_000 }).toBe('Follow the edge');
  const lines = await hand.lines();
  expect(lines.map(({ id }) => id)).toEqual(traced.map(({ id }) => id));
  expect(moveBetween(outline(), lines[0]!.path).maxMm).toBeLessThan(0.2);
  for (const label of ['Follow the edge', 'Move joint', 'Add joint']) {
    expect(await hand.undoLabel()).toBe(label);
    await hand.page.keyboard.press('Control+z');
  }
  expect(await hand.lines()).toEqual(traced);
}

test('by taps the followed edge takes the place of a line that was pulled away', async () => {
  await pullAway();
  await hand.choose('Tool', 'Follow the edge');
  for (const t of [0, 0.4, 1]) await hand.click(onLongest(t));
  await hand.click(onLongest(1));
  await expectPutBack();
});

test('by keys the same: from joint to joint, over a place that is typed', async () => {
  await pullAway();
  await hand.walkTo(longest());
  await hand.chooseByKeys('Tool', 'Follow the edge');
  await hand.pressButton('Place at the joint');
  const { x, y } = onLongest(0.45);
  await hand.type('Next place across', x.toFixed(1));
  await hand.type('Next place up', y.toFixed(1));
  await hand.pressButton('Add this place');
  await hand.press('n', 'n');
  await hand.pressButton('Place at the joint');
  await hand.press('Enter');
  await expectPutBack();
});

test('Escape gives all of it up, Backspace the last place', async () => {
  const before = await hand.document();
  await hand.choose('Tool', 'Follow the edge');
  for (const t of [0, 0.3, 0.6]) await hand.click(onLongest(t));
  await hand.press('Backspace', 'Escape', 'Enter');
  await hand.page.waitForTimeout(300);
  expect(await hand.undoLabel()).not.toBe('Follow the edge');
  expect(await hand.document()).toBe(before);
  expect(opened.complaints).toEqual([]);
});
