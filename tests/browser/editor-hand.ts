/** A hand in the editor, by mouse or by keys only, for the tests of its verbs. */
import { readFile } from 'node:fs/promises';
import { strFromU8, unzipSync } from 'fflate';
import type { Page } from 'playwright-core';
import type { Build } from '../../src/build/types.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../src/geometry/measure.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { fitView } from '../../src/ui/worktable/view.ts';

/** As the editor lays a piece on the table: room round it, px round that, the controls at the table's lower end. */
const ROOM_MM = 24;
const MARGIN_PX = 16;
const LOWER_END = { top: 0, bottom: 44 };
/** Over a photo there is a choice at the upper end too. */
const BOTH_ENDS = { top: 44, bottom: 44 };

export class Hand {
  readonly page: Page;
  /** The lines that the table was fitted to. */
  readonly laid: readonly PieceLine[];

  readonly #ends: typeof LOWER_END;

  constructor(page: Page, laid: readonly PieceLine[], isOverPhoto = false) {
    this.page = page;
    this.laid = laid;
    this.#ends = isOverPhoto ? BOTH_ENDS : LOWER_END;
  }

  /** Where a point of the piece lies on the screen, px. */
  async at({ x, y }: PlanePoint): Promise<{ x: number; y: number }> {
    const box = await this.page.locator('.worktable-box').boundingBox();
    if (!box) throw new Error('there is no table');
    const { minX, minY, maxX, maxY } = boundsOf(this.laid.flatMap(({ path }) => flattenPath(path)));
    const extent = {
      left: minX - ROOM_MM,
      top: -maxY - ROOM_MM,
      width: maxX - minX + 2 * ROOM_MM,
      height: maxY - minY + 2 * ROOM_MM,
    };
    const view = fitView(extent, box, MARGIN_PX, this.#ends);
    return { x: box.x + view.x + view.scale * x, y: box.y + view.y - view.scale * y };
  }

  async click(point: PlanePoint, keep = false): Promise<void> {
    const { x, y } = await this.at(point);
    if (keep) await this.page.keyboard.down('Shift');
    await this.page.mouse.click(x, y);
    if (keep) await this.page.keyboard.up('Shift');
  }

  /** Presses on a point and moves to another, without letting go. */
  async hold(from: PlanePoint, to: PlanePoint): Promise<void> {
    const [a, b] = [await this.at(from), await this.at(to)];
    await this.page.mouse.move(a.x, a.y);
    await this.page.mouse.down();
    await this.page.mouse.move((a.x + b.x) / 2, (a.y + b.y) / 2);
    await this.page.mouse.move(b.x, b.y);
  }

  async drag(from: PlanePoint, to: PlanePoint): Promise<void> {
    await this.hold(from, to);
    await this.page.mouse.up();
  }

  /**
   * Fingers on the table, each along points of its own, all in step; the later ones come down when the first has begun
   * to move.
   */
  async fingers(...ways: readonly (readonly PlanePoint[])[]): Promise<void> {
    const device = await this.page.context().newCDPSession(this.page);
    const at = async (step: number, count: number) =>
      Promise.all(
        ways.slice(0, count).map(async (way, id) => ({ ...(await this.at(way[Math.max(0, step)]!)), id })),
      );
    const send = async (type: 'touchStart' | 'touchMove' | 'touchEnd', step: number, count: number) =>
      device.send('Input.dispatchTouchEvent', { type, touchPoints: await at(step, count) });
    await send('touchStart', 0, 1);
    if (ways.length > 1) {
      await send('touchMove', 1, 1);
      await send('touchStart', 1, ways.length);
    }
    for (let step = 1; step < ways[0]!.length; step++) await send('touchMove', step, ways.length);
    await send('touchEnd', 0, 0);
    await device.detach();
  }

  async press(...keys: string[]): Promise<void> {
    await this.page.locator('.worktable-box').focus();
    for (const key of keys) await this.page.keyboard.press(key);
  }

  /** By keys: nothing picked, then the joint with this number of the nth line. */
  async walkTo(joint: number, line = 0): Promise<void> {
    await this.press(
      'n',
      ...Array.from({ length: line }, () => 'l'),
      ...Array.from({ length: joint }, () => 'n'),
    );
  }

  async button(name: string): Promise<void> {
    await this.page.getByRole('button', { name, exact: true }).click();
  }

  /** The same by keys: the button is focused and pressed. */
  async pressButton(name: string): Promise<void> {
    await this.page.getByRole('button', { name, exact: true }).focus();
    await this.page.keyboard.press('Enter');
  }

  async choose(label: string, option: string): Promise<void> {
    await this.page.getByRole('button', { name: new RegExp(label, 'u') }).click();
    await this.page.getByRole('option', { name: option }).click();
  }

  async chooseByKeys(label: string, option: string): Promise<void> {
    await this.page.getByRole('button', { name: new RegExp(label, 'u') }).focus();
    await this.page.keyboard.press('Enter');
    await this.page.getByRole('listbox').waitFor();
    await this.page.keyboard.type(option.slice(0, 9));
    await this.page.keyboard.press('Enter');
  }

  async type(label: string, value: string): Promise<void> {
    const field = this.page.getByRole('textbox', { name: label, exact: true });
    await field.fill(value);
    await field.press('Enter');
  }

  async undoLabel(): Promise<string> {
    const label = await this.page.getByRole('button', { name: /^Undo/u }).getAttribute('aria-label');
    return (label ?? 'Undo').replace('Undo: ', '');
  }

  /** The document as the maker would save it, to the byte. */
  async document(): Promise<string> {
    await this.page.getByRole('button', { name: 'File' }).click();
    const download = this.page.waitForEvent('download');
    await this.page.getByRole('menuitem', { name: /save/iu }).click();
    const files = unzipSync(await readFile(await (await download).path()));
    return strFromU8(files['build.json']!);
  }

  async lines(): Promise<readonly PieceLine[]> {
    return lastRevision((JSON.parse(await this.document()) as Build).pieces[0]!).lines;
  }

  /** Lets go of everything. */
  async rest(): Promise<void> {
    await this.press('Escape', 'Escape', 'Escape', 'Escape');
  }
}
