import { describe, expect, it } from 'vitest';
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import { CARD_FACE_HEIGHT_MM, MARK_CENTRES } from '../../src/capture/card.ts';
import { type Guidance, guidance, halving } from '../../src/capture/guidance.ts';
import type { GuidanceAsked } from '../../src/capture/guidance-options.ts';
import { farthestTwo, marksOnTable } from '../../src/capture/marks-on-table.ts';
import { solveWithoutStrays } from '../../src/capture/misfit.ts';
import { printPriors } from '../../src/capture/priors.ts';
import { captureOf } from '../../src/capture/solved-capture.ts';
import { solveTapes } from '../../src/capture/tapes.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture, CaptureOptions, TapeDistance } from '../../src/capture/types.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { cameraOver, type RenderedCard, seededNormal } from './card-renderer.ts';
import { inputOf, sightingOf } from './synthetic.ts';

const BARS = { acrossMm: 150, alongMm: 200 };
const CAMERA = cameraOver({
  widthPx: 4032,
  heightPx: 3024,
  focalPx: 2912,
  distanceMm: 720,
  tiltRad: 0.26,
  azimuthRad: 0.7,
  target: { x: 0, y: 0 },
  k1: 0.01,
  offsetUPx: 5,
});
const NOISE_PX = 0.12;

const card = (id: number, x: number, y: number, turnRad: number): RenderedCard => ({
  id,
  centre: { x, y },
  turnRad,
});
const TWO_BUNCHED = [card(0, 60, -60, 0.1), card(1, 150, 40, 0.4)];
const THREE_IN_ONE_END = [card(0, 120, -100, 0), card(1, 220, 0, 0.3), card(2, 120, 100, 1.7)];
const FOUR_ROUND = [
  card(0, -200, 130, 0),
  card(1, 200, 130, 0.3),
  card(2, 200, -130, 1.5),
  card(3, -200, -130, 0.2),
];

interface Set {
  readonly printer?: CaptureOptions['printer'];
  readonly tapes?: readonly TapeDistance[];
  readonly thicknessDoubtMm?: number;
}

/** A capture solved from the cards as a camera with noise sees them; the same card has the same noise each time. */
function captureWith(
  cards: readonly RenderedCard[],
  { printer, tapes = [], thicknessDoubtMm = 0.5 }: Set = {},
) {
  const options: CaptureOptions = {
    facts: { focalLength35Mm: 26 },
    thicknessMm: 6,
    thicknessDoubtMm,
    tapes,
    ...(printer && { printer }),
  };
  const seen = cards.map((each) => sightingOf(CAMERA, each, NOISE_PX, seededNormal(each.id + 1)));
  const solved = solveWithoutStrays({
    ...inputOf(CAMERA, seen, options.facts, printer),
    tapes: solveTapes(tapes, seen),
    print: printPriors(printer, tapes.length > 0),
  })!;
  return captureOf(solved, seen, options);
}

/** A place of the capture's frame in the test's world, by what the picture shows there. */
const inWorld = (capture: Capture, at: PlanePoint): PlanePoint =>
  imageToPlane(CAMERA, planeToImage(capture.camera, at));

/** Ends of a long piece in a capture's frame: where the same two places of the picture lie. */
function pieceEnds(capture: { readonly camera: Camera }): readonly [PlanePoint, PlanePoint] {
  const at = (x: number, y: number) => imageToPlane(capture.camera, planeToImage(CAMERA, { x, y }, 6), 6);
  return [at(-190, -60), at(170, 50)];
}

const bestOf = (found: readonly Guidance[], action: Guidance['action']): Guidance =>
  found.find((each) => each.action === action)!;

/** Predicted tolerance over the one that solving with it gives. */
function ratio(advice: Guidance, achieved: Capture): number {
  return advice.toleranceMm.after / toleranceOfLengthMm(achieved, ...pieceEnds(achieved));
}

const asked = (capture: Capture, more: Partial<GuidanceAsked> = {}): GuidanceAsked => ({
  hasPrinter: false,
  hasTape: false,
  span: pieceEnds(capture),
  ...more,
});

describe('guidance foretells what solving with it would give', () => {
  it.each([
    ['one card', TWO_BUNCHED.slice(0, 1)],
    ['two bunched cards', TWO_BUNCHED],
    ['three cards in one end', THREE_IN_ONE_END],
  ])('one more card: %s', (_, cards) => {
    // A thickness in doubt would drown the cards' own share.
    const set = { printer: BARS, thicknessDoubtMm: 0.05 };
    const capture = captureWith(cards, set);
    const found = guidance(capture, asked(capture, { hasPrinter: true })).filter(
      ({ action }) => action === 'add-card',
    );
    expect(found.length).toBeGreaterThan(1);
    for (const advice of found) {
      const centre = inWorld(capture, advice.at!);
      const turnRad = cards[0]!.turnRad + (advice.isTurned ? Math.PI / 2 : 0);
      const achieved = captureWith([...cards, { id: 9, centre, turnRad }], set);
      expect(ratio(advice, achieved)).toBeGreaterThan(0.75);
      expect(ratio(advice, achieved)).toBeLessThan(1.25);
    }
  });

  it.each([
    ['with check bars', BARS],
    ['without', undefined],
  ])('a tape between the farthest marks, %s', (_, printer) => {
    const capture = captureWith(FOUR_ROUND, { ...(printer && { printer }), thicknessDoubtMm: 0.1 });
    const advice = bestOf(guidance(capture, asked(capture, { hasPrinter: printer !== undefined })), 'tape');
    const marks = marksOnTable(capture);
    const [a, b] = farthestTwo(marks)!;
    const markAt = (point: PlanePoint) => {
      const index = marks.indexOf(point);
      return { cardId: Math.floor(index / 4), mark: (index % 4) as 0 | 1 | 2 | 3 };
    };
    const world = (point: PlanePoint) => {
      const { cardId, mark } = markAt(point);
      const { centre, turnRad } = FOUR_ROUND[cardId]!;
      const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
      const { x, y } = MARK_CENTRES[mark];
      return { x: centre.x + c * x - s * y, y: centre.y + s * x + c * y };
    };
    const tape = { from: markAt(a), to: markAt(b), lengthMm: distanceMm(world(a), world(b)), doubtMm: 0.5 };
    const achieved = captureWith(FOUR_ROUND, {
      tapes: [tape],
      thicknessDoubtMm: 0.1,
      ...(printer && { printer }),
    });
    expect(ratio(advice, achieved)).toBeGreaterThan(0.75);
    expect(ratio(advice, achieved)).toBeLessThan(1.25);
  });

  it('check bars measured', () => {
    const capture = captureWith(FOUR_ROUND, { thicknessDoubtMm: 0.1 });
    const advice = bestOf(guidance(capture, asked(capture)), 'check-bars');
    const achieved = captureWith(FOUR_ROUND, { printer: BARS, thicknessDoubtMm: 0.1 });
    expect(advice.toleranceMm.after).toBeLessThan(0.75 * advice.toleranceMm.before);
    expect(ratio(advice, achieved)).toBeGreaterThan(0.75);
    expect(ratio(advice, achieved)).toBeLessThan(1.25);
  });

  it('thickness measured', () => {
    const set = { printer: BARS, thicknessDoubtMm: 2 };
    const capture = captureWith(FOUR_ROUND, set);
    const advice = bestOf(guidance(capture, asked(capture, { hasPrinter: true })), 'measure-thickness');
    const achieved = captureWith(FOUR_ROUND, { ...set, thicknessDoubtMm: 0.1 });
    expect(ratio(advice, achieved)).toBeCloseTo(1, 6);
  });
});

describe('guidance', () => {
  it('puts the best first and says each in one sentence with both tolerances', () => {
    const capture = captureWith(THREE_IN_ONE_END);
    const found = guidance(capture, asked(capture));
    const after = found.map(({ toleranceMm }) => toleranceMm.after);
    expect([...after].sort((a, b) => a - b)).toEqual(after);
    expect(found.length).toBeGreaterThan(0);
    for (const { sentence, toleranceMm } of found) {
      expect(sentence).toMatch(/^[^.]+ would bring ± \d+\.\d+ mm down to ± \d+\.\d+ mm\.$/);
      expect(toleranceMm.after).toBeLessThan(0.9 * toleranceMm.before);
    }
  });

  it('offers no card where one lies, on a piece, or where it would not be whole in the photo', () => {
    const capture = captureWith(TWO_BUNCHED, { printer: BARS });
    const [a, b] = pieceEnds(capture);
    const piece = [a, { x: b.x, y: a.y }, b, { x: a.x, y: b.y }];
    const all = guidance(capture, asked(capture, { hasPrinter: true }));
    const clear = guidance(capture, asked(capture, { hasPrinter: true, pieces: [piece] }));
    const places = (found: readonly Guidance[]) => found.flatMap(({ at }) => at ?? []);
    expect(places(clear).length).toBeLessThanOrEqual(places(all).length);
    for (const at of places(all)) {
      for (const { centre } of capture.cards) expect(distanceMm(centre, at)).toBeGreaterThan(80);
      for (const [dx, dy] of [
        [-40, -40],
        [40, -40],
        [40, 40],
        [-40, 40],
      ] as const) {
        const { u, v } = planeToImage(capture.camera, { x: at.x + dx, y: at.y + dy }, CARD_FACE_HEIGHT_MM);
        expect(Math.min(u, v, 4031 - u, 3023 - v)).toBeGreaterThan(0);
      }
    }
    const middle = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
    const everywhere = [-900, 900].flatMap((x) =>
      [-900, 900].map((y) => ({ x: middle.x + x, y: middle.y + y })),
    );
    const table = [everywhere[0]!, everywhere[2]!, everywhere[3]!, everywhere[1]!];
    expect(places(guidance(capture, asked(capture, { hasPrinter: true, pieces: [table] })))).toEqual([]);
  });

  it('says nothing about what is measured already', () => {
    const capture = captureWith(FOUR_ROUND, { printer: BARS, thicknessDoubtMm: 0.05 });
    const actions = guidance(capture, asked(capture, { hasPrinter: true, hasTape: true })).map(
      ({ action }) => action,
    );
    expect(actions).not.toContain('tape');
    expect(actions).not.toContain('check-bars');
    expect(actions).not.toContain('measure-thickness');
  });

  it('halves the tolerance by several steps where one does not, and says when nothing would', () => {
    const capture = captureWith(TWO_BUNCHED, { thicknessDoubtMm: 0.05 });
    const how = halving(capture, asked(capture, { hasBankCard: true }))!;
    expect(how.toleranceMm.after).toBeLessThanOrEqual(how.toleranceMm.before / 2);
    expect(how.actions.length).toBeGreaterThan(1);
    expect(how.actions).toContain('check-bars');
    expect(how.sentence).toMatch(/; then .*, together, would bring ± /);
    // All but the last step alone do not halve it.
    const [best] = guidance(capture, asked(capture, { hasBankCard: true }));
    expect(best!.toleranceMm.after).toBeGreaterThan(how.toleranceMm.before / 2);
    const good = captureWith(FOUR_ROUND, { printer: BARS, thicknessDoubtMm: 0.05 });
    expect(halving(good, asked(good, { hasPrinter: true }))).toBeUndefined();
  });

  it('asks for one bank card at most, and halves by it where the print was not measured', () => {
    const capture = captureWith(TWO_BUNCHED, { thicknessDoubtMm: 0.05 });
    const { actions, toleranceMm, sentence } = halving(capture, asked(capture))!;
    expect(actions.filter((action) => action === 'bank-card')).toHaveLength(1);
    expect(toleranceMm.after).toBeLessThanOrEqual(toleranceMm.before / 2);
    expect(sentence).toMatch(
      /^A bank card laid flat (at|in) the .*, and chosen as a reference beside the scale cards/,
    );
  });

  it('foretells several steps as well as one: a card, and the bars measured', () => {
    const capture = captureWith(TWO_BUNCHED, { thicknessDoubtMm: 0.05 });
    const { actions, toleranceMm } = halving(capture, asked(capture, { hasBankCard: true }))!;
    expect([...actions].sort()).toEqual(['add-card', 'check-bars']);
    const [card] = guidance(capture, asked(capture)).filter(({ action }) => action === 'add-card');
    const centre = inWorld(capture, card!.at!);
    const turnRad = TWO_BUNCHED[0]!.turnRad + (card!.isTurned ? Math.PI / 2 : 0);
    const achieved = captureWith([...TWO_BUNCHED, { id: 9, centre, turnRad }], {
      printer: BARS,
      thicknessDoubtMm: 0.05,
    });
    const ratio = toleranceMm.after / toleranceOfLengthMm(achieved, ...pieceEnds(achieved));
    expect(ratio).toBeGreaterThan(0.75);
    expect(ratio).toBeLessThan(1.25);
  });
});
