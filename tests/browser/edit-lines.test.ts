/** Every verb of the editor in a real browser, once by mouse and once by keys alone; each is one undo step. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { addPiece } from '../../src/build/commands/pieces.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import type { Build } from '../../src/build/types.ts';
import { handlesAt, jointCount, jointKind, jointPoint } from '../../src/geometry/edit/nodes.ts';
import { paintFoam } from '../../src/geometry/edit/paint.ts';
import type { LineKind, PieceLine } from '../../src/geometry/line-kinds.ts';
import { pathAreaMm2, pathLengthMm } from '../../src/geometry/measure.ts';
import { polylinePath, reversePath } from '../../src/geometry/path.ts';
import { pointAt } from '../../src/geometry/place.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { stamp } from '../build/sample-build.ts';
import { ellipse, GUARD, point } from '../geometry/drawn.ts';
import { type RunningApp, startApp, type WatchedPage } from '../setup/browser.ts';
import { fileOf, openBuild } from '../setup/open-build.ts';
import { buildWithLines } from './edit-build.ts';
import { Hand } from './editor-hand.ts';

const EYE = reversePath(ellipse(18, 11, point(90, 50)));
const CREASE = polylinePath([point(20, 20), point(60, 25), point(90, 20)], false);
const VEIN = polylinePath([point(20, 80), point(60, 85)], false);
const LINES: readonly PieceLine[] = [
  { id: 'outer', kind: 'cut', path: GUARD },
  { id: 'eye', kind: 'cutout', path: EYE },
  { id: 'crease', kind: 'score', path: CREASE },
  { id: 'vein', kind: 'score', path: VEIN },
];

const BAND: PieceLine = {
  id: 'band',
  kind: 'cut',
  path: polylinePath([point(0, 0), point(120, 0), point(120, 30), point(0, 30)], true),
};

/** Middle of a segment of the outline. */
const middle = (segment: number) => pointAt(GUARD, { segment, t: 0.5 });
const joint = (index: number) => jointPoint(GUARD, index);

interface Verb {
  readonly mouse: (hand: Hand) => Promise<void>;
  readonly keys: (hand: Hand) => Promise<void>;
  /** Looks at the lines afterwards; the outline is the first of them. */
  readonly check: (lines: readonly PieceLine[], byKeys: boolean) => void;
}

const pathOf = (lines: readonly PieceLine[], id = 'outer') => lines.find((line) => line.id === id)!.path;
const added = (lines: readonly PieceLine[]) => lines.slice(LINES.length);
const kindOf = (lines: readonly PieceLine[], id: string): LineKind =>
  lines.find((line) => line.id === id)!.kind;
const outerArea = (lines: readonly PieceLine[]) => pathAreaMm2(pathOf(lines));

/** With the picked joints in hand: the same button by mouse or by keys. */
function byButton(
  name: string,
  pickByMouse: Verb['mouse'],
  pickByKeys: Verb['keys'],
  more?: string,
): Omit<Verb, 'check'> {
  return {
    mouse: async (hand) => {
      await pickByMouse(hand);
      if (more) await hand.button(more);
      await hand.button(name);
      if (more) await hand.button(more);
    },
    keys: async (hand) => {
      await pickByKeys(hand);
      if (more) await hand.pressButton(more);
      await hand.pressButton(name);
      if (more) await hand.pressButton(more);
    },
  };
}

/** What the verb makes of the lines with the brush at its first width. */
function paintedBy(stroke: readonly PlanePoint[], paint: 'in' | 'out'): readonly PieceLine[] {
  const outcome = paintFoam(LINES, polylinePath(stroke, false), { paint, widthMm: 10 }, () => 'new');
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value.lines;
}

const clickJoint = (index: number) => (hand: Hand) => hand.click(joint(index));
const walkTo = (index: number, line?: number) => (hand: Hand) => hand.walkTo(index, line);
/** The stretch over the bow, from joint 1 by way of 2 to 3. */
const clickStretch = async (hand: Hand) => {
  await hand.click(joint(1));
  await hand.click(joint(2), true);
  await hand.click(joint(3), true);
};
const walkStretch = async (hand: Hand) => {
  await hand.walkTo(1);
  await hand.press('Shift+N', 'Shift+N');
};
const withTool = (tool: string, tap: (hand: Hand) => Promise<void>) => async (hand: Hand) => {
  await hand.choose('Tool', tool);
  await tap(hand);
};
const withToolByKeys = (tool: string, button: string, index: number) => async (hand: Hand) => {
  await hand.walkTo(index);
  await hand.chooseByKeys('Tool', tool);
  await hand.pressButton(button);
};

const CORNERS = 'Cut off or round corners';
const OFFSET = 'Line at equal distance';

const VERBS: Readonly<Record<string, Verb>> = {
  'Move joint': {
    mouse: (hand) => hand.drag(joint(1), point(160, -2)),
    keys: async (hand) => {
      await hand.walkTo(1);
      await hand.press('Shift+ArrowRight', 'ArrowUp');
    },
    check: (lines, byKeys) => {
      const at = jointPoint(pathOf(lines), 1);
      if (byKeys) expect(distanceMm(at, point(151, -7.9))).toBeLessThan(1e-9);
      else expect(distanceMm(at, point(160, -2))).toBeLessThan(1);
    },
  },
  'Move handle': {
    mouse: async (hand) => {
      await hand.click(joint(2));
      await hand.drag(handlesAt(GUARD, 2).leaving!, point(140, 95));
    },
    keys: async (hand) => {
      await hand.walkTo(2);
      await hand.press('h', 'h', 'Shift+ArrowUp');
    },
    check: (lines, byKeys) => {
      const { leaving } = handlesAt(pathOf(lines), 2);
      const former = handlesAt(GUARD, 2).leaving!;
      if (byKeys) expect(distanceMm(leaving!, point(former.x, former.y + 1))).toBeLessThan(1e-9);
      else expect(distanceMm(leaving!, point(140, 95))).toBeLessThan(1);
    },
  },
  'Place joint': {
    mouse: async (hand) => {
      await hand.click(joint(1));
      await hand.type('Across (x)', '151.25');
    },
    keys: async (hand) => {
      await hand.walkTo(1);
      await hand.type('Across (x)', '151.25');
    },
    check: (lines) => expect(jointPoint(pathOf(lines), 1)).toEqual(point(151.25, -8)),
  },
  'Set length': {
    mouse: async (hand) => {
      await hand.click(middle(0));
      await hand.type('Length of the line between', '140');
    },
    keys: async (hand) => {
      await hand.walkTo(0);
      await hand.type('Length of the line after it', '140');
    },
    check: (lines) => expect(distanceMm(joint(0), jointPoint(pathOf(lines), 1))).toBeCloseTo(140, 9),
  },
  'Add joint': {
    mouse: withTool('Add joints', (hand) => hand.click(middle(1))),
    keys: async (hand) => {
      await hand.walkTo(1);
      await hand.press('a');
    },
    check: (lines) => {
      expect(jointCount(pathOf(lines))).toBe(6);
      expect(distanceMm(jointPoint(pathOf(lines), 2), middle(1))).toBeLessThan(1);
    },
  },
  'Delete joint': {
    mouse: async (hand) => {
      await hand.click(joint(4));
      await hand.button('Delete joint');
    },
    keys: async (hand) => {
      await hand.walkTo(4);
      await hand.press('Delete');
    },
    check: (lines) => expect(jointCount(pathOf(lines))).toBe(4),
  },
  'Smooth joint': {
    mouse: async (hand) => {
      await hand.click(joint(3));
      await hand.page.getByRole('radio', { name: 'Smooth' }).click();
    },
    keys: async (hand) => {
      await hand.walkTo(3);
      await hand.press('s');
    },
    check: (lines) => expect(jointKind(pathOf(lines), 3)).toBe('smooth'),
  },
  'Corner joint': {
    mouse: async (hand) => {
      await hand.click(joint(2));
      await hand.page.getByRole('radio', { name: 'Corner' }).click();
    },
    keys: async (hand) => {
      await hand.walkTo(2);
      await hand.press('c');
    },
    check: (lines) => expect(jointKind(pathOf(lines), 2)).toBe('corner'),
  },
  'Straight segment': {
    mouse: async (hand) => {
      await hand.click(middle(4));
      await hand.page.getByRole('radio', { name: 'Straight' }).click();
    },
    keys: async (hand) => {
      await hand.walkTo(4);
      await hand.press('g');
    },
    check: (lines) => expect(pathOf(lines).segments[4]!.kind).toBe('line'),
  },
  'Curved segment': {
    mouse: async (hand) => {
      await hand.click(middle(3));
      await hand.page.getByRole('radio', { name: 'Curved' }).click();
    },
    keys: async (hand) => {
      await hand.walkTo(3);
      await hand.press('u');
    },
    check: (lines) => expect(pathOf(lines).segments[3]!.kind).toBe('cubic'),
  },
  'Make it a fold line': {
    mouse: async (hand) => {
      await hand.click(point(60, 25));
      await hand.page.locator('.kind-option', { hasText: 'fold' }).click();
    },
    keys: async (hand) => {
      await hand.walkTo(0, 2);
      await hand.press('4');
    },
    check: (lines) => expect(kindOf(lines, 'crease')).toBe('fold'),
  },
  'Split line': {
    mouse: async (hand) => {
      await hand.click(joint(3));
      await hand.button('Open here');
    },
    keys: async (hand) => {
      await hand.walkTo(3);
      await hand.press('x');
    },
    check: (lines) => expect(pathOf(lines)).toMatchObject({ closed: false, start: joint(3) }),
  },
  'Join lines': {
    mouse: async (hand) => {
      await hand.click(point(20, 20));
      await hand.click(point(20, 80), true);
      await hand.button('Join ends');
    },
    keys: async (hand) => {
      await hand.walkTo(0, 2);
      await hand.press('Shift+L', 'j');
    },
    check: (lines) => {
      expect(lines).toHaveLength(3);
      expect(pathLengthMm(pathOf(lines, 'crease'))).toBeCloseTo(
        pathLengthMm(CREASE) + 60 + pathLengthMm(VEIN),
        6,
      );
    },
  },
  'Close line': {
    mouse: async (hand) => {
      await hand.click(point(60, 25));
      await hand.button('Close line');
    },
    keys: async (hand) => {
      await hand.walkTo(0, 2);
      await hand.press('o');
    },
    check: (lines) => expect(pathOf(lines, 'crease')).toMatchObject({ closed: true }),
  },
  'Reverse line': {
    mouse: async (hand) => {
      await hand.click(point(60, 25));
      await hand.button('Reverse');
    },
    keys: async (hand) => {
      await hand.walkTo(0, 2);
      await hand.press('r');
    },
    check: (lines) => expect(pathOf(lines, 'crease').start).toEqual(point(90, 20)),
  },
  'Delete line': {
    ...byButton('Delete line', (hand) => hand.click(point(60, 25)), walkTo(0, 2)),
    check: (lines) => expect(lines.map(({ id }) => id)).toEqual(['outer', 'eye', 'vein']),
  },
  Straighten: {
    ...byButton('Straighten', clickStretch, walkStretch),
    check: (lines) => expect(pathOf(lines).segments.filter(({ kind }) => kind === 'line')).toHaveLength(3),
  },
  'Even out': {
    ...byButton('Even out', clickStretch, walkStretch),
    check: (lines) => {
      expect(pathOf(lines)).not.toEqual(GUARD);
      expect(Math.abs(outerArea(lines) - pathAreaMm2(GUARD))).toBeLessThan(60);
    },
  },
  'Clean up again': {
    ...byButton('Clean up', clickStretch, walkStretch),
    check: (lines) => {
      expect(pathOf(lines)).not.toEqual(GUARD);
      expect(Math.abs(outerArea(lines) - pathAreaMm2(GUARD))).toBeLessThan(30);
    },
  },
  'Round corner': {
    ...byButton('Round', clickJoint(4), walkTo(4), CORNERS),
    check: (lines) => expect(jointCount(pathOf(lines))).toBe(6),
  },
  'Cut off corner': {
    ...byButton('Cut off', clickJoint(4), walkTo(4), CORNERS),
    check: (lines) => expect(pathOf(lines).segments.filter(({ kind }) => kind === 'line')).toHaveLength(3),
  },
  'Line at equal distance': {
    ...byButton('Make the line', clickJoint(4), walkTo(4), OFFSET),
    check: (lines) => {
      const grown = pathAreaMm2(GUARD) + 5 * pathLengthMm(GUARD);
      expect(Math.abs(outerArea(lines) - grown)).toBeLessThan(120);
    },
  },
  'Add notch': {
    mouse: withTool('Notches', (hand) => hand.click(middle(1))),
    keys: withToolByKeys('Notches', 'Notch at the joint', 2),
    check: (lines) =>
      expect(added(lines).map(({ kind, path }) => [kind, pathLengthMm(path)])).toEqual([
        ['mark', expect.closeTo(5, 9)],
      ]),
  },
  'Add centre mark': {
    mouse: withTool('Centre marks', (hand) => hand.click(middle(0))),
    keys: withToolByKeys('Centre marks', 'Centre mark at the joint', 2),
    check: (lines) => expect(added(lines)).toMatchObject([{ kind: 'mark', path: { closed: true } }]),
  },
  'Add words': {
    mouse: withTool('Words', async (hand) => {
      await hand.type('Words', 'glue here');
      await hand.click(point(110, 20));
    }),
    keys: async (hand) => {
      await hand.walkTo(0, 2);
      await hand.chooseByKeys('Tool', 'Words');
      await hand.type('Words', 'glue here');
      await hand.pressButton('Words at the joint');
    },
    check: (lines) => expect(added(lines)).toMatchObject([{ words: { text: 'glue here', sizeMm: 5 } }]),
  },
  'Add placement': {
    mouse: withTool('Another piece', async (hand) => {
      await hand.choose('Piece that is glued on', 'Piece 2');
      await hand.click(point(90, 80));
    }),
    keys: async (hand) => {
      await hand.walkTo(0, 3);
      await hand.chooseByKeys('Tool', 'Another piece’s outline');
      await hand.chooseByKeys('Piece that is glued on', 'Piece 2');
      await hand.pressButton('Outline at the joint');
    },
    // The second piece of the sample build is 90 x 140 mm.
    check: (lines) => {
      expect(added(lines)).toMatchObject([{ kind: 'placement' }]);
      expect(pathAreaMm2(added(lines)[0]!.path)).toBeCloseTo(90 * 140, 3);
    },
  },
  'Paint in': {
    mouse: withTool('Paint in', (hand) => hand.drag(point(75, -4), point(75, -15))),
    keys: async (hand) => {
      await hand.walkTo(0);
      await hand.chooseByKeys('Tool', 'Paint in');
      await hand.pressButton('Brush to the joint');
      await hand.press('Space', 'Control+ArrowLeft', 'Shift+ArrowDown', 'Space');
    },
    check: (lines, byKeys) => {
      const stroke = [point(0, 0), point(-10, 0), point(-10, -1)];
      if (byKeys) expect(lines).toEqual(paintedBy(stroke, 'in'));
      // A band 10 mm wide and 11 mm long, and half a disc at its end.
      else expect(Math.abs(outerArea(lines) - pathAreaMm2(GUARD) - 110 - 12.5 * Math.PI)).toBeLessThan(8);
    },
  },
  'Paint out': {
    mouse: withTool('Paint out', async (hand) => {
      await hand.type('Width of the brush', '12');
      await hand.drag(point(110, 20), point(130, 20));
      await hand.type('Width of the brush', '10');
    }),
    keys: async (hand) => {
      await hand.walkTo(4);
      await hand.chooseByKeys('Tool', 'Paint out');
      await hand.pressButton('Brush to the joint');
      await hand.press('Space', 'Control+ArrowDown', 'Control+ArrowDown', 'ArrowLeft', 'Backspace', 'Enter');
    },
    check: (lines, byKeys) => {
      const stroke = [joint(4), point(joint(4).x, joint(4).y - 20)];
      if (byKeys) return expect(lines).toEqual(paintedBy(stroke, 'out'));
      expect(added(lines)).toMatchObject([{ kind: 'cutout' }]);
      // A band 12 mm wide and 20 mm long with round ends, clockwise.
      return expect(Math.abs(pathAreaMm2(added(lines)[0]!.path) + 240 + 36 * Math.PI)).toBeLessThan(10);
    },
  },
  'Draw line': {
    mouse: withTool('Draw a line', async (hand) => {
      for (const at of [point(110, 25), point(130, 20), point(150, 30)]) await hand.click(at);
      await hand.button('End the line');
    }),
    keys: async (hand) => {
      await hand.walkTo(3);
      await hand.chooseByKeys('Tool', 'Draw a line');
      await hand.pressButton('Point at the joint');
      await hand.press('n');
      await hand.pressButton('Point at the joint');
      await hand.press('Enter');
    },
    check: (lines, byKeys) => {
      expect(added(lines)).toMatchObject([{ kind: 'score', path: { closed: false } }]);
      expect(jointCount(added(lines)[0]!.path)).toBe(byKeys ? 2 : 3);
    },
  },
};

describe('the editor', () => {
  let app: RunningApp;
  let opened: WatchedPage;
  let hand: Hand;
  let start: string;

  beforeAll(async () => {
    app = await startApp();
    opened = await app.newPage();
    const { page } = opened;
    // With a piece that was made here and lies in no photo.
    const band = { stamp: stamp('band'), name: 'Joining band', lines: [BAND], why: 'made here' };
    await openBuild(page, app.origin, fileOf(addPiece(buildWithLines(LINES), band)));
    await page.getByRole('navigation', { name: 'Stages' }).getByText('Trace', { exact: true }).click();
    await page.getByRole('button', { name: 'Edit the lines', exact: true }).click();
    await page.getByRole('heading', { name: 'Edit the lines' }).waitFor();
    hand = new Hand(page, LINES);
    start = await hand.document();
  });
  afterAll(async () => {
    await app?.close();
  });

  describe.each(['mouse', 'keys'] as const)('by %s', (way) => {
    test.each(Object.keys(VERBS))('%s', async (name) => {
      const { check, [way]: act } = VERBS[name]!;
      await hand.rest();
      await act(hand);
      const label = way === 'keys' && name.startsWith('Move') ? 'Nudge' : name;
      // Some verbs are worked out away from the screen, and stand as a step when they come back.
      await expect.poll(() => hand.undoLabel(), { timeout: 20_000 }).toBe(label);
      check(await hand.lines(), way === 'keys');
      // By keys moving takes two presses, each of them a step.
      while ((await hand.undoLabel()) !== 'Undo') await hand.page.keyboard.press('Control+z');
    });
  });

  test('Escape gives up a drag without a trace', async () => {
    await hand.rest();
    await hand.hold(joint(1), point(165, 10));
    await hand.page.keyboard.press('Escape');
    await hand.page.mouse.up();
    expect(await hand.undoLabel()).toBe('Undo');
  });

  test('Escape gives up a line that is being worked out, and what comes back for changed lines is dropped', async () => {
    const { page } = hand;
    await hand.rest();
    await hand.walkTo(4);
    // Two keys in one task, so that the answer cannot have come between them.
    const pressThen = (key: string) =>
      page.getByRole('button', { name: 'Clean up', exact: true }).evaluate((button: HTMLElement, key) => {
        button.click();
        window.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
        window.dispatchEvent(new KeyboardEvent('keyup', { key, bubbles: true }));
      }, key);
    await pressThen('Escape');
    // Escape went to the work alone: the joint is picked still, and is nudged now.
    await pressThen('ArrowRight');
    await page.getByText('The lines were changed while').waitFor();
    expect(await hand.undoLabel()).toBe('Nudge');
    await hand.press('Control+z');
    expect(await hand.undoLabel()).toBe('Undo');
    expect(await hand.document()).toBe(start);
  });

  test('Escape gives up a stroke of the brush without a trace, by mouse and by keys', async () => {
    await hand.rest();
    await hand.choose('Tool', 'Paint out');
    await hand.hold(point(75, -10), point(75, 30));
    await hand.page.keyboard.press('Escape');
    await hand.page.mouse.up();
    await hand.press('Space', 'Control+ArrowUp', 'Escape', 'Enter', 'Space', 'Escape');
    expect(await hand.undoLabel()).toBe('Undo');
    expect(await hand.document()).toBe(start);
  });

  test('a finger paints and drags a joint; a second finger gives the stroke up and zooms', async () => {
    const { page } = hand;
    await hand.rest();
    await hand.choose('Tool', 'Paint in');
    await hand.fingers([point(75, -4), point(75, -9), point(75, -15)]);
    expect(await hand.undoLabel()).toBe('Paint in');
    VERBS['Paint in']!.check(await hand.lines(), false);
    await hand.press('Control+z');
    const scale = () => page.locator('.scale-bar').innerText();
    const before = await scale();
    await hand.fingers(
      [point(75, -4), point(75, -15), point(20, -15)],
      [point(90, 0), point(90, 0), point(200, 60)],
    );
    expect(await hand.undoLabel()).toBe('Undo');
    expect(await scale()).not.toBe(before);
    await hand.press('0');
    await hand.choose('Tool', 'Pick and move');
    const to = point(joint(1).x - 6, joint(1).y + 5);
    await hand.fingers([joint(1), point(joint(1).x - 3, joint(1).y + 2), to]);
    expect(await hand.undoLabel()).toBe('Move joint');
    expect(distanceMm(jointPoint(pathOf(await hand.lines()), 1), to)).toBeLessThan(1);
    await hand.press('Control+z');
    expect(await hand.document()).toBe(start);
  });

  test('a stroke that cannot be painted is told in words, one that parts the foam picks the smaller part', async () => {
    const { page } = hand;
    await hand.rest();
    await hand.choose('Tool', 'Paint in');
    await hand.drag(point(90, 48), point(90, 52));
    await page.getByText('does not touch the foam').waitFor();
    expect(await hand.undoLabel()).toBe('Undo');
    await hand.choose('Tool', 'Paint out');
    await hand.drag(point(45, -20), point(50, 120));
    await page.getByText('now lies in 2 parts').waitFor();
    await hand.button('Delete line');
    const outlines = (await hand.lines()).filter(({ kind }) => kind === 'cut');
    expect(outlines.map(({ id }) => id)).toEqual(['outer']);
    await hand.press('Control+z', 'Control+z');
    expect(await hand.undoLabel()).toBe('Undo');
  });

  test('two points are measured, straight and along their edge, by taps and by picked joints', async () => {
    const { page } = hand;
    await hand.rest();
    await withTool('Measure', async () => {
      await hand.click(joint(3));
      await hand.click(joint(4));
    })(hand);
    const straight = distanceMm(joint(3), joint(4)).toFixed(2);
    await page.getByText(`${straight} mm`).first().waitFor();
    await hand.rest();
    await hand.walkTo(1);
    await hand.press('Shift+N');
    const along = pathLengthMm({ closed: false, start: joint(1), segments: [GUARD.segments[1]!] }).toFixed(2);
    await page.getByText(`${along} mm`).first().waitFor();
  });

  test('a key held down is one step, and all of it is undone to the byte', async () => {
    await hand.rest();
    await hand.walkTo(2);
    for (let i = 0; i < 12; i++) await hand.page.keyboard.down('ArrowRight');
    await hand.page.keyboard.up('ArrowRight');
    expect(jointPoint(pathOf(await hand.lines()), 2).x).toBeCloseTo(171.2, 9);
    await hand.page.keyboard.press('Control+z');
    expect(await hand.undoLabel()).toBe('Undo');
    expect(await hand.document()).toBe(start);
  });

  test('a piece that was made here and lies in no photo is edited as well', async () => {
    const { page } = hand;
    await hand.button('Done');
    await hand.button('Edit the lines of Joining band');
    const atBand = new Hand(page, [BAND]);
    await atBand.drag(point(120, 30), point(128, 36));
    expect(await atBand.undoLabel()).toBe('Move joint');
    await atBand.press('Escape', 'Escape');
    await atBand.walkTo(1);
    await atBand.press('Shift+ArrowRight');
    expect(await atBand.undoLabel()).toBe('Nudge');
    const [line] = lastRevision((JSON.parse(await atBand.document()) as Build).pieces.at(-1)!).lines;
    expect(distanceMm(jointPoint(line!.path, 2), point(128, 36))).toBeLessThan(1);
    expect(distanceMm(jointPoint(line!.path, 1), point(121, 0))).toBeLessThan(1e-9);
    await atBand.choose('Tool', 'Follow the edge');
    await atBand.click(point(60, 0));
    await page.getByText('there is no edge to follow').waitFor();
  });

  test('nothing was complained of', () => {
    expect(opened.complaints).toEqual([]);
  });
});
