import { describe, expect, it } from 'vitest';
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import { joinPhotos } from '../../src/capture/join-photos.ts';
import { agreementMm, type PhotoPoint, toleranceAcrossMm } from '../../src/capture/join-tolerance.ts';
import type { JoinedPhotos, PhotoToJoin } from '../../src/capture/join-types.ts';
import { solveWithoutStrays } from '../../src/capture/misfit.ts';
import { captureOf } from '../../src/capture/solved-capture.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { CaptureOptions } from '../../src/capture/types.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { cameraOver, type RenderedCard, seededNormal, seededRandom } from './card-renderer.ts';
import { inputOf, sightingOf } from './synthetic.ts';

const OPTIONS: CaptureOptions = {
  facts: { focalLength35Mm: 26, make: 'a phone', model: 'of one kind' },
  printer: { acrossMm: 150, alongMm: 200 },
  thicknessMm: 3,
  thicknessDoubtMm: 0.5,
};
/** Cards round a band 700 mm long; each photo shows 554 mm. 2, 3 and 6 lie in the middle. */
const CARDS: readonly RenderedCard[] = [
  { id: 0, centre: { x: -340, y: 120 }, turnRad: 0.1 },
  { id: 1, centre: { x: -330, y: -120 }, turnRad: 1.5 },
  { id: 2, centre: { x: -5, y: -120 }, turnRad: -0.2 },
  { id: 3, centre: { x: -55, y: 120 }, turnRad: 0.3 },
  { id: 4, centre: { x: 335, y: 120 }, turnRad: 3 },
  { id: 5, centre: { x: 340, y: -120 }, turnRad: -1.4 },
  { id: 6, centre: { x: 50, y: 120 }, turnRad: 0.9 },
];
const LEFT = [0, 1, 2, 3, 6];
const RIGHT = [2, 3, 4, 5, 6];

type View = Partial<Parameters<typeof cameraOver>[0]>;

function viewOf(x: number, change: View = {}): Camera {
  return cameraOver({
    widthPx: 4032,
    heightPx: 3024,
    focalPx: 2912,
    distanceMm: 420,
    tiltRad: 0.12,
    target: { x, y: 0 },
    ...change,
  });
}

function photoOf(
  camera: Camera,
  cards: readonly RenderedCard[],
  noisePx: number,
  normal: () => number,
  options = OPTIONS,
): PhotoToJoin {
  const seen = cards.map((card) => sightingOf(camera, card, noisePx, normal));
  const solved = solveWithoutStrays(inputOf(camera, seen, options.facts, options.printer))!;
  return { capture: captureOf(solved, seen, options), options };
}

const pick = (ids: readonly number[], cards = CARDS) => cards.filter(({ id }) => ids.includes(id));

function joinedOf(photos: readonly PhotoToJoin[]): JoinedPhotos {
  const outcome = joinPhotos(photos);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** Two photos of the cards, left and right, from cameras of one phone. */
function pairOf(
  noisePx: number,
  seed: number,
  left = LEFT,
  right = RIGHT,
): readonly [PhotoToJoin, PhotoToJoin] {
  const normal = seededNormal(seed);
  return [
    photoOf(viewOf(-170, { k1: 0.02, azimuthRad: 1 }), pick(left), noisePx, normal),
    photoOf(
      viewOf(170, { k1: 0.02, azimuthRad: 2.5, rollRad: 0.4, distanceMm: 440 }),
      pick(right),
      noisePx,
      normal,
    ),
  ];
}

/** A place of the table as a true camera shows it and the joined measurement puts it. */
function measured(
  joined: JoinedPhotos,
  photo: number,
  truth: Camera,
  x: number,
  y: number,
  liftMm = 0,
): PhotoPoint {
  const seen = planeToImage(truth, { x, y }, OPTIONS.thicknessMm + liftMm);
  return { at: imageToPlane(joined.captures[photo]!.camera, seen, OPTIONS.thicknessMm), photo };
}

describe('photos joined through shared cards', () => {
  it('measure a length from one photo into the other, right to 0.03 mm from exact points', () => {
    const [leftView, rightView] = [
      viewOf(-170, { k1: 0.02, azimuthRad: 1 }),
      viewOf(170, { k1: 0.02, azimuthRad: 2.5, rollRad: 0.4, distanceMm: 440 }),
    ];
    const pair = pairOf(0, 1);
    const joined = joinedOf(pair);
    const a = measured(joined, 0, leftView, -345, 40);
    const b = measured(joined, 1, rightView, 345, -40);
    expect(Math.abs(distanceMm(a.at, b.at) - Math.hypot(690, 80))).toBeLessThan(0.03);
    expect(joined.shared.map(({ cardId }) => cardId)).toEqual([2, 3, 6]);
    for (const { gapMm } of joined.shared) expect(gapMm).toBeLessThan(0.005);
    expect(joined.warnings).toEqual([]);
    // The common frame is the first photo's own.
    const placeOf = (capture: PhotoToJoin['capture']) => capture.cards.find(({ id }) => id === 0)!.centre;
    expect(distanceMm(placeOf(joined.captures[0]!), placeOf(pair[0].capture))).toBeLessThan(0.05);
  });

  it('state the same tolerance as one photo does for a length inside it', () => {
    const joined = joinedOf(pairOf(0.1, 4));
    const [a, b] = [
      { x: 20, y: -30 },
      { x: 260, y: -160 },
    ];
    const alone = toleranceOfLengthMm(joined.captures[0]!, a, b);
    const ends = [
      { at: a, photo: 0 },
      { at: b, photo: 0 },
    ] as const;
    expect(toleranceAcrossMm(joined, ...ends)).toBeCloseTo(alone, 5);
    const samePrinter = toleranceOfLengthMm(joined.captures[0]!, a, b, 3, 'same-printer');
    expect(toleranceAcrossMm(joined, ...ends, 3, 'same-printer')).toBeCloseTo(samePrinter, 5);
    expect(samePrinter).toBeLessThan(0.9 * alone);
  });

  it('state a tolerance across photos that holds over simulated worlds, and how well the photos agree', () => {
    const [spans, gaps]: [number[], number[]] = [[], []];
    for (let seed = 1; seed <= 80; seed++) {
      const [random, normal] = [seededRandom(1000 + seed), seededNormal(seed)];
      const lens = { focalPx: 2912 * Math.exp(0.02 * normal()), k1: 0.03 * normal(), k2: 0.01 * normal() };
      const offsets = [12 * normal(), 12 * normal()] as const;
      const drawn = (x: number) =>
        viewOf(x, {
          ...lens,
          focalPx: lens.focalPx * Math.exp(0.003 * normal()),
          k1: lens.k1 + 0.003 * normal(),
          k2: lens.k2 + 0.002 * normal(),
          offsetUPx: offsets[0] + 4 * normal(),
          offsetVPx: offsets[1] + 4 * normal(),
          tiltRad: 0.2 * random(),
          azimuthRad: 6.28 * random(),
        });
      const [across, along] = [Math.exp((normal() * 0.3) / 150), Math.exp((normal() * 0.3) / 200)];
      const cards = CARDS.map((card) => ({ ...card, across, along }));
      const [leftView, rightView] = [drawn(-170), drawn(170)];
      const joined = joinedOf([
        photoOf(leftView, pick([0, 1, 2, 3], cards), 0.1, normal),
        photoOf(rightView, pick([2, 3, 4, 5], cards), 0.1, normal),
      ]);
      const thicker = 0.5 * normal();
      const a = measured(joined, 0, leftView, -345, 30, thicker + 0.3 * normal());
      const b = measured(joined, 1, rightView, 345, -30, thicker + 0.3 * normal());
      spans.push((distanceMm(a.at, b.at) - Math.hypot(690, 60)) / toleranceAcrossMm(joined, a, b));
      // The same place of the piece in both photos; lifted alike, as one piece is.
      const lift = thicker + 0.3 * normal();
      const p = measured(joined, 0, leftView, 10, 30, lift);
      const q = measured(joined, 1, rightView, 10, 30, lift);
      gaps.push((p.at.x - q.at.x) / agreementMm(joined, p.at, 0, 1));
    }
    const rms = (values: readonly number[]) =>
      Math.sqrt(values.reduce((sum, z) => sum + z * z, 0) / values.length);
    const within = spans.filter((z) => Math.abs(z) < 1).length / spans.length;
    // 80 draws: one sigma of the share is 5 %, of the RMS 8 %.
    expect(within).toBeGreaterThan(0.58);
    expect(within).toBeLessThan(0.8);
    expect(rms(spans)).toBeGreaterThan(0.8);
    expect(rms(spans)).toBeLessThan(1.2);
    expect(rms(gaps)).toBeLessThan(1.2);
    expect(rms(gaps)).toBeGreaterThan(0.5);
  });

  it('are surer of the whole with a tape from a card of one photo to a card of the other', () => {
    const pair = pairOf(0.1, 5);
    const [from, to] = [
      { cardId: 0, mark: 0 },
      { cardId: 5, mark: 2 },
    ] as const;
    const [c0, c5] = [CARDS[0]!, CARDS[5]!].map(({ centre, turnRad }, k) => {
      const [x, y] = k === 0 ? [-33, 33] : [33, -33];
      const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
      return { x: centre.x + c * x - s * y, y: centre.y + s * x + c * y };
    });
    const tapes = [{ from, to, lengthMm: distanceMm(c0!, c5!), doubtMm: 0.5 }];
    const ends = [
      { at: { x: 0, y: -100 }, photo: 0 },
      { at: { x: 680, y: -100 }, photo: 1 },
    ] as const;
    const without = toleranceAcrossMm(joinedOf(pair), ...ends);
    const taped = joinedOf([{ ...pair[0], options: { ...OPTIONS, tapes } }, pair[1]]);
    expect(toleranceAcrossMm(taped, ...ends)).toBeLessThan(0.85 * without);
  });

  it('name the card that was moved between the photos, and go on without it', () => {
    const normal = seededNormal(6);
    const moved = CARDS.map((card) => (card.id === 3 ? { ...card, centre: { x: -53.5, y: 119 } } : card));
    const joined = joinedOf([
      photoOf(viewOf(-170), pick(LEFT), 0.1, normal),
      photoOf(viewOf(170), pick(RIGHT, moved), 0.1, normal),
    ]);
    expect(joined.warnings.map(({ code, cardId }) => [code, cardId])).toEqual([['shared-card-moved', 3]]);
    expect(joined.warnings[0]!.message).toMatch(/^Card 3 lies (1\.[5-9]|2\.[01]) mm elsewhere/u);
    expect(joined.shared.map(({ cardId }) => cardId)).toEqual([2, 6]);
    const a = measured(joined, 0, viewOf(-170), -345, 0);
    const b = measured(joined, 1, viewOf(170), 345, 0);
    expect(Math.abs(distanceMm(a.at, b.at) - 690)).toBeLessThan(0.4);
  });

  it('refuse when one of only two shared cards was moved: nobody can tell which', () => {
    const normal = seededNormal(7);
    const moved = CARDS.map((card) => (card.id === 3 ? { ...card, centre: { x: -53, y: 119 } } : card));
    const outcome = joinPhotos([
      photoOf(viewOf(-170), pick([0, 1, 2, 3]), 0.1, normal),
      photoOf(viewOf(170), pick([2, 3, 4, 5], moved), 0.1, normal),
    ]);
    expect(outcome.ok || outcome.problem.code).toBe('shared-cards-moved');
    expect(outcome.ok || outcome.problem.message).toContain('Cards 2 and 3 do not lie the same way');
  });

  it('warn of a single shared card, round which the photos may be turned, and refuse without any', () => {
    // A place at the far end, in the first photo's frame, as if both photos saw it.
    const far = { x: 500, y: -100 };
    const one = joinedOf(pairOf(0.1, 8, [0, 1, 2], [2, 4, 5]));
    expect(one.warnings.map(({ code }) => code)).toContain('one-shared-card');
    const two = joinedOf(pairOf(0.1, 8, [0, 1, 2, 3], [2, 3, 4, 5]));
    expect(agreementMm(one, far, 0, 1)).toBeGreaterThan(1.1 * agreementMm(two, far, 0, 1));
    const none = joinPhotos(pairOf(0.1, 8, [0, 1, 3], [2, 4, 5]));
    expect(none.ok || none.problem.code).toBe('no-shared-card');
    expect(none.ok || none.problem.message).toContain(
      'photo 1 shows cards 0, 1 and 3; photo 2 shows cards 2, 4 and 5',
    );
  });

  it('refuse one photo, and photos that say different thicknesses', () => {
    const [left, right] = pairOf(0.1, 9);
    const alone = joinPhotos([left]);
    expect(alone.ok || alone.problem.code).toBe('one-photo');
    const thick = joinPhotos([left, { ...right, capture: { ...right.capture, thicknessMm: 6 } }]);
    expect(thick.ok || thick.problem.message).toContain('(3 and 6 mm)');
  });
});
