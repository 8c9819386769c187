import { beforeAll, describe, expect, it } from 'vitest';
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import type { Capture, CaptureOptions, CaptureWarningCode } from '../../src/capture/types.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { cameraOver, onTable, type RenderedCard, renderCards, type Scene } from './card-renderer.ts';
import { distanceRms, gridOf } from './synthetic.ts';

/** Cards drawn by the small renderer, fast; whole set-ups as a phone sees them stand in wrong-set-ups.test.ts. */
let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

const [WIDTH, HEIGHT] = [2400, 1800];
const CAMERA = cameraOver({
  widthPx: WIDTH,
  heightPx: HEIGHT,
  focalPx: (WIDTH * 26 * 1.01) / 36,
  distanceMm: 560,
  tiltRad: 0.3,
  azimuthRad: 0.7,
  rollRad: 0.2,
  k1: 0.02,
  k2: -0.003,
  offsetUPx: 4,
  offsetVPx: -3,
});

const PLACES = [
  [-170, 110, 0.1],
  [0, 120, -0.2],
  [170, 110, 1.7],
  [165, -110, -0.3],
  [0, -120, 0.05],
  [-175, -100, 3],
] as const;
const SIX: readonly RenderedCard[] = PLACES.map(([x, y, turnRad], id) => ({ id, centre: { x, y }, turnRad }));
const FOUR = [0, 2, 3, 5].map((id) => SIX[id]!);

const OPTIONS: CaptureOptions = {
  facts: { focalLength35Mm: 26 },
  printer: { acrossMm: 150, alongMm: 200 },
  thicknessMm: 0.1,
};

/** The six cards with one of them changed. */
const withChange = (id: number, change: Partial<RenderedCard>, cards = SIX): readonly RenderedCard[] =>
  cards.map((card) => (card.id === id ? { ...card, ...change } : card));

function shoot(
  cards: readonly RenderedCard[],
  scene: Partial<Scene> = {},
  options: Partial<CaptureOptions> = {},
) {
  const photo = renderCards({ camera: CAMERA, cards, blurPx: 0.9, noise: 1.5, seed: 5, ...scene });
  return capturePhoto(vision, photo, { ...OPTIONS, ...options });
}

function captured(...shot: Parameters<typeof shoot>): Capture {
  const outcome = shoot(...shot);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** RMS error of distances inside the place that the cards surround, mm. */
function errorMm(capture: Capture, camera: Camera = CAMERA): number {
  const points = gridOf(150, 100);
  return distanceRms(
    points,
    points.map((point) => imageToPlane(capture.camera, planeToImage(camera, point, 0.1), 0.1)),
  );
}

const codesOf = (capture: Capture): CaptureWarningCode[] => capture.warnings.map(({ code }) => code);
const sentence = (capture: Capture, code: CaptureWarningCode): string =>
  capture.warnings.find((warning) => warning.code === code)!.message;

describe('a good photo', () => {
  it('of six cards is measured to 0.03 mm and gives no warning', () => {
    const capture = captured(SIX);
    expect(codesOf(capture)).toEqual([]);
    expect(errorMm(capture)).toBeLessThan(0.03);
    expect(capture.cards.map(({ id, used }) => [id, used])).toEqual(
      [0, 1, 2, 3, 4, 5].map((id) => [id, true]),
    );
  });

  it('of cards printed at 99 % across and 101.5 % along, one lying turned, is right when the bars are entered', () => {
    const scaled = SIX.map((card) => ({ ...card, across: 0.99, along: 1.015 }));
    const capture = captured(scaled, {}, { printer: { acrossMm: 148.5, alongMm: 203 } });
    expect(codesOf(capture)).toEqual([]);
    expect(errorMm(capture)).toBeLessThan(0.05);
    expect(capture.printScale.across).toBeCloseTo(0.99, 3);
    expect(capture.printScale.along).toBeCloseTo(1.015, 3);
  });

  it('of a page shrunk to fit (95 %) is right with one tape distance instead of the bars', () => {
    const shrunk = SIX.map((card) => ({ ...card, across: 0.95, along: 0.95 }));
    const lengthMm = distanceMm(
      onTable(shrunk[0]!, { x: -33, y: 33 }),
      onTable(shrunk[3]!, { x: 33, y: -33 }),
    );
    const tape = {
      from: { cardId: 0, mark: 0 },
      to: { cardId: 3, mark: 2 },
      lengthMm,
      doubtMm: 0.5,
    } as const;
    const photo = renderCards({ camera: CAMERA, cards: shrunk, blurPx: 0.9, noise: 1.5, seed: 5 });
    const outcome = capturePhoto(vision, photo, {
      facts: OPTIONS.facts,
      thicknessMm: 0.1,
      tapes: [tape],
    });
    const capture = outcome.ok ? outcome.value : undefined;
    expect(codesOf(capture!)).toEqual([]);
    expect(errorMm(capture!)).toBeLessThan(0.1);
  });
});

describe('a wrong card is found, named and left out', () => {
  const leftOut = (capture: Capture): number[] =>
    capture.cards.filter(({ used }) => !used).map(({ id }) => id);

  it.each([
    ['six', SIX],
    ['four', FOUR],
  ])('lying on a piece 10 mm thick, among %s', (_, cards) => {
    const capture = captured(withChange(3, { height: () => 10.15 }, cards));
    expect(leftOut(capture)).toEqual([3]);
    expect(sentence(capture, 'card-other-size')).toMatch(
      /^Card 3 looks 1\.9 % larger than the others: it lies about 10 mm above the table/,
    );
    expect(errorMm(capture)).toBeLessThan(0.05);
  });

  it('printed 4 % smaller than the others', () => {
    const capture = captured(withChange(1, { across: 0.96, along: 0.96 }));
    expect(leftOut(capture)).toEqual([1]);
    expect(sentence(capture, 'card-other-size')).toContain('Card 1 looks 4.0 % smaller');
    expect(errorMm(capture)).toBeLessThan(0.03);
  });

  it('folded up at one side', () => {
    const height = ({ x }: PlanePoint): number => 0.15 + (x > 0 ? 0.25 * x : 0);
    const capture = captured(withChange(4, { height }));
    expect(leftOut(capture)).toEqual([4]);
    expect(sentence(capture, 'card-bent')).toMatch(/^Card 4 is bent/);
    expect(errorMm(capture)).toBeLessThan(0.03);
  });

  it('bowed by 2 mm, hardly visible', () => {
    const capture = captured(withChange(4, { height: ({ x }: PlanePoint) => 0.15 + 2 * (x / 40) ** 2 }));
    expect(leftOut(capture)).toEqual([4]);
    expect(errorMm(capture)).toBeLessThan(0.03);
  });

  it('of two cards that contradict each other neither can be left out, so both are named', () => {
    const capture = captured(withChange(3, { height: () => 10.15 }, [SIX[0]!, SIX[3]!]));
    expect(codesOf(capture)).toContain('two-cards');
    expect(sentence(capture, 'card-other-size')).toMatch(/^Cards 0 and 3 contradict each other/);
  });
});

describe('a poor set-up is said in words', () => {
  it('one card: measured, with a wide tolerance and a warning', () => {
    const capture = captured([SIX[1]!]);
    expect(codesOf(capture)).toEqual(['one-card']);
    expect(errorMm(capture)).toBeLessThan(1);
  });

  it('cards bunched in one corner', () => {
    const bunch = [
      [-45, 45],
      [45, 45],
      [45, -45],
      [-45, -45],
    ].map(([x, y], id) => ({ id, centre: { x: x! - 120, y: y! + 60 }, turnRad: 0.02 * id }));
    expect(codesOf(captured(bunch))).toEqual(['cards-bunched']);
  });

  it('the same id twice: both cards fit and are used, and a tape to that id is refused', () => {
    const tape = {
      from: { cardId: 3, mark: 0 },
      to: { cardId: 0, mark: 2 },
      lengthMm: 300,
      doubtMm: 0.5,
    } as const;
    const capture = captured(withChange(4, { id: 3 }), {}, { tapes: [tape] });
    expect(codesOf(capture)).toEqual(['card-twice', 'tape-unused']);
    expect(errorMm(capture)).toBeLessThan(0.03);
  });

  it('a covered mark: the square stands in', () => {
    const cover = (at: PlanePoint) => (at.x > 20 && at.y > 27 ? 0.3 : undefined);
    const capture = captured(withChange(0, { cover }));
    expect(sentence(capture, 'card-covered')).toMatch(/^A mark in the corners of card 0/);
    expect(
      capture.cards[0]!.points.map(({ kind }) => kind).filter((kind) => kind === 'square-corner'),
    ).toHaveLength(4);
    expect(errorMm(capture)).toBeLessThan(0.05);
  });

  it('light shining off a card', () => {
    const cover = (at: PlanePoint) => (at.x > 20 && at.y > 20 ? 0.95 : undefined);
    expect(sentence(captured(withChange(2, { cover })), 'glare')).toMatch(/^Light shines off card 2/);
  });

  it('a card reaching over the border', () => {
    // Its centre lies 32 mm from the border: the square (25 mm) is whole, the marks (33 mm) are not.
    const edge = imageToPlane(CAMERA, { u: 0, v: 900 });
    const inside = imageToPlane(CAMERA, { u: 100, v: 900 });
    const turnRad = Math.atan2(inside.y - edge.y, inside.x - edge.x);
    const centre = { x: edge.x + 32 * Math.cos(turnRad), y: edge.y + 32 * Math.sin(turnRad) };
    const capture = captured(withChange(5, { centre, turnRad }));
    expect(capture.cards).toHaveLength(6);
    expect(codesOf(capture)).toContain('card-cut-off');
    expect(errorMm(capture)).toBeLessThan(0.05);
  });

  it('blur', () => {
    const capture = captured(SIX, { blurPx: 3.5 });
    expect(sentence(capture, 'blur')).toMatch(/^The photo is blurred: edges are smeared over [67] pixels/);
    expect(errorMm(capture)).toBeLessThan(0.1);
  });

  it('a tilt over 35°', () => {
    const camera = cameraOver({
      widthPx: WIDTH,
      heightPx: HEIGHT,
      focalPx: 1733,
      distanceMm: 640,
      tiltRad: 0.72,
    });
    const capture = captured(SIX, { camera });
    expect(sentence(capture, 'tilt')).toContain('tilted by 41°');
    expect(errorMm(capture, camera)).toBeLessThan(0.05);
  });

  it('no focal length in the file, and one that cannot be true', () => {
    const without = captured(SIX, {}, { facts: {} });
    expect(codesOf(without)).toEqual(['no-focal']);
    expect(errorMm(without)).toBeLessThan(0.05);
    const lying = captured(SIX, {}, { facts: { focalLength35Mm: 50 } });
    expect(codesOf(lying)).toEqual(['focal-unlike-exif']);
    expect(errorMm(lying)).toBeLessThan(0.05);
  });

  it('a print that nobody measured', () => {
    const photo = renderCards({ camera: CAMERA, cards: SIX, blurPx: 0.9, noise: 1.5, seed: 5 });
    const outcome = capturePhoto(vision, photo, { facts: OPTIONS.facts, thicknessMm: 0 });
    expect(outcome.ok && codesOf(outcome.value)).toEqual(['print-scale-unmeasured']);
  });

  it('a tape that contradicts the bars, and one to a card that is not there', () => {
    const between = (cardId: number, lengthMm: number) =>
      ({ from: { cardId: 0, mark: 0 }, to: { cardId, mark: 2 }, lengthMm, doubtMm: 0.5 }) as const;
    const lengthMm = distanceMm(onTable(SIX[0]!, { x: -33, y: 33 }), onTable(SIX[3]!, { x: 33, y: -33 }));
    expect(codesOf(captured(SIX, {}, { tapes: [between(3, lengthMm)] }))).toEqual([]);
    expect(codesOf(captured(SIX, {}, { tapes: [between(3, lengthMm + 12)] }))).toEqual(['tape-disagrees']);
    expect(codesOf(captured(SIX, {}, { tapes: [between(11, 400)] }))).toEqual(['tape-unused']);
  });

  it('every warning says what happened, what it means and what to do: two sentences or more', () => {
    const all = [
      captured([SIX[0]!, SIX[3]!], { blurPx: 3.5 }, { facts: {} }),
      captured(withChange(4, { id: 3 })),
    ];
    for (const { message } of all.flatMap(({ warnings }) => warnings)) {
      expect(message.match(/[.!?](\s|$)/g)!.length).toBeGreaterThanOrEqual(2);
    }
  });
});

describe('what cannot be measured is an error in words', () => {
  const codeOf = (outcome: ReturnType<typeof shoot>) => (outcome.ok ? 'none' : outcome.problem.code);

  it('a picture too small, or bytes that are not that picture', () => {
    const tiny = { width: 320, height: 240, data: new Uint8ClampedArray(320 * 240 * 4) };
    expect(codeOf(capturePhoto(vision, tiny, OPTIONS))).toBe('bad-photo');
    const torn = { width: 1200, height: 900, data: new Uint8ClampedArray(1000) };
    expect(codeOf(capturePhoto(vision, torn, OPTIONS))).toBe('bad-photo');
  });

  it.each<[string, Partial<CaptureOptions>]>([
    ['a negative thickness', { thicknessMm: -1 }],
    ['a thickness that is no number', { thicknessMm: Number.NaN }],
    ['a doubt below nothing', { thicknessDoubtMm: -0.1 }],
    ['a bar in inches', { printer: { acrossMm: 5.9, alongMm: 200 } }],
    ['the bars swapped', { printer: { acrossMm: 200, alongMm: 150 } }],
    [
      'a tape of no length',
      { tapes: [{ from: { cardId: 0, mark: 0 }, to: { cardId: 1, mark: 0 }, lengthMm: 0, doubtMm: 1 }] },
    ],
  ])('%s', (_, options) => {
    const blank = { width: 640, height: 480, data: new Uint8ClampedArray(640 * 480 * 4) };
    expect(codeOf(capturePhoto(vision, blank, { ...OPTIONS, ...options }))).toBe('bad-option');
  });

  it('cancelling: a progress callback that throws stops the capture', () => {
    const photo = renderCards({ camera: CAMERA, cards: [], blurPx: 0, noise: 1, seed: 1 });
    const steps: string[] = [];
    const stop = (step: string): void => {
      steps.push(step);
      throw new Error('cancelled');
    };
    expect(() => capturePhoto(vision, photo, OPTIONS, stop)).toThrow('cancelled');
    expect(steps).toEqual(['looking for scale cards']);
  });
});
