/** Frame times in Chromium while a joint is dragged among thousands, and while the table is moved under them. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { jointCount, jointPoint } from '../../src/geometry/edit/nodes.ts';
import { buildWithLines } from '../browser/edit-build.ts';
import { Hand } from '../browser/editor-hand.ts';
import { frill } from '../geometry/frill.ts';
import { BUILD_FOLDER_VARIABLE } from '../setup/build-folder.ts';
import { startApp } from '../setup/browser.ts';
import { fileOf, openBuild } from '../setup/open-build.ts';

export interface FrameTimes {
  readonly frames: number;
  readonly medianMs: number;
  readonly p95Ms: number;
  readonly worstMs: number;
}

/** As text: what the bench's own loader adds to functions is not there in the page. */
const WATCH_FRAMES = `
  window.frameWatch = { times: [], isOn: true };
  requestAnimationFrame(function tick(now) {
    window.frameWatch.times.push(now);
    if (window.frameWatch.isOn) requestAnimationFrame(tick);
  });
`;
const STOP_WATCHING = 'window.frameWatch.isOn = false; window.frameWatch.times';

/** Time from frame to frame (requestAnimationFrame) while something goes on. */
async function framesDuring(page: Page, act: () => Promise<void>): Promise<FrameTimes> {
  await page.evaluate(WATCH_FRAMES);
  await act();
  const times = await page.evaluate<number[]>(STOP_WATCHING);
  const deltas = times.slice(1).map((time, i) => time - times[i]!);
  const sorted = deltas.toSorted((a, b) => a - b);
  const share = (part: number) => sorted[Math.min(sorted.length - 1, Math.floor(part * sorted.length))]!;
  return { frames: deltas.length, medianMs: share(0.5), p95Ms: share(0.95), worstMs: sorted.at(-1)! };
}

const MOVES = 150;

interface EditFrames {
  readonly drag: FrameTimes;
  readonly pan: FrameTimes;
  /** While the brush is down, and the time from lifting it until the foam is painted. */
  readonly paint?: FrameTimes & { readonly paintedMs: number };
}

/**
 * Frame times of dragging one joint among `joints`, of moving the table and, where `paints`, of painting, in headless
 * Chromium drawing in software.
 */
export async function editFrames(joints: number, paints = false): Promise<EditFrames> {
  const app = await startApp();
  try {
    const { page } = await app.newPage();
    const path = frill(joints);
    const lines = [{ id: 'frill', kind: 'cut', path }] as const;
    await openBuild(page, app.origin, fileOf(buildWithLines(lines)));
    await page.getByRole('navigation', { name: 'Stages' }).getByText('Trace', { exact: true }).click();
    await page.getByRole('button', { name: 'Edit the lines' }).click();
    await page.getByRole('heading', { name: 'Edit the lines' }).waitFor();
    await page.waitForTimeout(1000);
    const hand = new Hand(page, lines);
    const from = await hand.at(jointPoint(path, Math.floor(jointCount(path) / 8)));
    const circle = async (radius: number) => {
      for (let i = 1; i <= MOVES; i++) {
        const angle = (6 * Math.PI * i) / MOVES;
        await page.mouse.move(from.x + radius * Math.sin(angle), from.y + radius * (1 - Math.cos(angle)));
      }
    };
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await circle(20);
    const drag = await framesDuring(page, () => circle(60));
    await page.keyboard.press('Escape');
    await page.mouse.up();
    const middle = await hand.at({ x: 0, y: 0 });
    await page.mouse.move(middle.x, middle.y);
    await page.mouse.down();
    const pan = await framesDuring(page, () => circle(60));
    await page.mouse.up();
    if (!paints) return { drag, pan };
    await hand.choose('Tool', 'Paint out');
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    const paint = await framesDuring(page, () => circle(60));
    const letGo = performance.now();
    await page.mouse.up();
    await page.getByRole('button', { name: 'Undo: Paint out' }).waitFor();
    return { drag, pan, paint: { ...paint, paintedMs: performance.now() - letGo } };
  } finally {
    await app.close();
  }
}

if (process.argv[1]?.endsWith('edit-frames.ts')) {
  const folder = await mkdtemp(join(tmpdir(), 'edit-frames-'));
  process.env[BUILD_FOLDER_VARIABLE] = folder;
  for (const joints of [500, 5000]) {
    const { drag, pan, paint } = await editFrames(joints, true);
    for (const [what, times] of [
      ['dragging', drag],
      ['moving the table', pan],
      ['painting', paint!],
    ] as const) {
      console.log(
        `${joints} joints, ${what}: median ${times.medianMs.toFixed(1)} ms, 95 % ${times.p95Ms.toFixed(1)} ms, worst ${times.worstMs.toFixed(1)} ms (${times.frames} frames)`,
      );
    }
    console.log(`${joints} joints, painted ${paint!.paintedMs.toFixed(0)} ms after the brush is lifted`);
  }
  await rm(folder, { recursive: true });
}
