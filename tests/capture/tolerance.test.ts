import { describe, expect, it } from 'vitest';
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import { CARD_FACE_HEIGHT_MM } from '../../src/capture/card.ts';
import type { SeenCard } from '../../src/capture/card-points.ts';
import { solveWithoutStrays } from '../../src/capture/misfit.ts';
import { captureOf } from '../../src/capture/solved-capture.ts';
import { toleranceOfLengthMm, worstToleranceMm } from '../../src/capture/tolerance.ts';
import type { Capture, CaptureOptions } from '../../src/capture/types.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { cameraOver, type RenderedCard, seededNormal, seededRandom } from './card-renderer.ts';
import { inputOf, sightingOf } from './synthetic.ts';

const OPTIONS: CaptureOptions = {
  facts: { focalLength35Mm: 26 },
  printer: { acrossMm: 150, alongMm: 200 },
  thicknessMm: 3,
  thicknessDoubtMm: 0.5,
};
const SPOTS = [
  [-200, 140],
  [200, 140],
  [200, -140],
  [-200, -140],
  [0, 150],
  [0, -150],
] as const;

interface World {
  readonly camera: Camera;
  readonly cards: readonly RenderedCard[];
}

/** A camera, lens and printer drawn from the beliefs that the solve holds. */
function drawWorld(count: number, random: () => number, normal: () => number, spread = 1): World {
  const [across, along] = [Math.exp((normal() * 0.3) / 150), Math.exp((normal() * 0.3) / 200)];
  return {
    camera: cameraOver({
      widthPx: 4032,
      heightPx: 3024,
      focalPx: 2912 * Math.exp(0.02 * normal()),
      distanceMm: 640,
      tiltRad: 0.26,
      azimuthRad: 6.28 * random(),
      rollRad: 6.28 * random(),
      k1: 0.03 * normal(),
      k2: 0.01 * normal(),
      offsetUPx: 12 * normal(),
      offsetVPx: 12 * normal(),
    }),
    cards: SPOTS.slice(0, count).map(([x, y], id) => ({
      id,
      centre: { x: x * spread, y: y * spread },
      turnRad: 6.28 * random(),
      across,
      along,
    })),
  };
}

function captureFrom(seen: readonly SeenCard[], camera: Camera, options = OPTIONS): Capture {
  const solved = solveWithoutStrays(inputOf(camera, seen, options.facts, options.printer))!;
  return captureOf(solved, seen, options);
}

/** The card as paper lies: a little higher or lower, leaning, twisted, as the solve believes. */
function unevenly(card: RenderedCard, normal: () => number): RenderedCard {
  const [level, leanX, leanY, twist] = [0, 0, 0, 0].map(() => 0.15 * normal());
  const height = ({ x, y }: PlanePoint): number =>
    CARD_FACE_HEIGHT_MM + level! + (leanX! * x) / 33 + (leanY! * y) / 33 + (twist! * x * y) / 33 ** 2;
  return { ...card, height };
}

/** Shares of length errors inside one and two stated sigmas, and RMS error and tolerance. */
function calibration(count: number, rounds: number, noisePx: number, seed: number) {
  const random = seededRandom(seed);
  const normal = seededNormal(seed + 1);
  let [one, two, total, squares, stated] = [0, 0, 0, 0, 0];
  for (let round = 0; round < rounds; round++) {
    const { camera, cards } = drawWorld(count, random, normal);
    const seen = cards.map((card) => sightingOf(camera, unevenly(card, normal), noisePx, normal));
    const capture = captureFrom(seen, camera);
    const thickness = 3 + 0.5 * normal();
    for (let k = 0; k < 4; k++) {
      const spot = () => ({ x: 200 * (2 * random() - 1), y: 140 * (2 * random() - 1) });
      const [a, b] = [spot(), spot()];
      if (distanceMm(a, b) < 80) continue;
      // Paper that does not lie flat: each end a little off the piece's face.
      const [seenA, seenB] = [a, b].map((point) => planeToImage(camera, point, thickness + 0.15 * normal()));
      const [endA, endB] = [imageToPlane(capture.camera, seenA!, 3), imageToPlane(capture.camera, seenB!, 3)];
      const error = distanceMm(endA, endB) - distanceMm(a, b);
      const tolerance = toleranceOfLengthMm(capture, endA, endB);
      total++;
      if (Math.abs(error) < tolerance) one++;
      if (Math.abs(error) < 2 * tolerance) two++;
      squares += error ** 2;
      stated += tolerance ** 2;
    }
  }
  return {
    one: one / total,
    two: two / total,
    rms: Math.sqrt(squares / total),
    stated: Math.sqrt(stated / total),
  };
}

describe('the tolerance of a length', () => {
  it.each([
    [4, 0.15],
    [6, 0.15],
    [1, 0.1],
  ])(
    'holds in a Monte Carlo over lens, print, thickness, paper and point noise: %s cards',
    (count, noisePx) => {
      const { one, two, rms, stated } = calibration(count, count === 1 ? 300 : 80, noisePx, 5 * count);
      expect(one).toBeGreaterThan(0.6);
      expect(one).toBeLessThan(0.78);
      expect(two).toBeGreaterThan(0.9);
      expect(two).toBeLessThan(0.99);
      expect(stated / rms).toBeGreaterThan(0.8);
      expect(stated / rms).toBeLessThan(1.35);
    },
  );

  it('grows when the points scatter more than stated', () => {
    const { camera, cards } = drawWorld(4, seededRandom(2), seededNormal(3));
    const normal = seededNormal(4);
    const stated = cards.map((card) => sightingOf(camera, card, 0.1, normal, 0.1));
    const scattered = cards.map((card) => sightingOf(camera, card, 0.5, normal, 0.1));
    const [a, b] = [
      { x: -150, y: -80 },
      { x: 150, y: 80 },
    ];
    const sharp = toleranceOfLengthMm(captureFrom(stated, camera), a, b, 3, 'same-printer');
    const poor = toleranceOfLengthMm(captureFrom(scattered, camera), a, b, 3, 'same-printer');
    expect(poor).toBeGreaterThan(1.2 * sharp);
  });

  it('does not depend on which card comes first', () => {
    const { camera, cards } = drawWorld(4, seededRandom(2), seededNormal(3));
    const seen = cards.map((card) => sightingOf(camera, card, 0.1, seededNormal(4)));
    const capture = captureFrom(seen, camera);
    const other = captureFrom([...seen].reverse(), camera);
    const between = (one: Capture, from: number, to: number) => {
      const at = (id: number) => one.cards.find((card) => card.id === id)!.centre;
      return { length: distanceMm(at(from), at(to)), tolerance: toleranceOfLengthMm(one, at(from), at(to)) };
    };
    for (const [from, to] of [
      [0, 2],
      [1, 3],
    ] as const) {
      const [p, q] = [between(capture, from, to), between(other, from, to)];
      expect(q.length).toBeCloseTo(p.length, 2);
      expect(q.tolerance / p.tolerance).toBeCloseTo(1, 2);
    }
  });

  it("leaves out the printer's doubt for what the same printer prints, and the rest when nothing else is unsure", () => {
    const { camera, cards } = drawWorld(6, seededRandom(2), seededNormal(3));
    const seen = cards.map((card) => sightingOf(camera, card, 0.02, seededNormal(4)));
    const unmeasured = captureFrom(seen, camera, { facts: OPTIONS.facts, thicknessMm: 0.1 });
    const [a, b] = [
      { x: -150, y: -80 },
      { x: 150, y: 80 },
    ];
    const length = distanceMm(a, b);
    // Nobody measured the print: half a percent, give or take the ratio's share.
    const whole = toleranceOfLengthMm(unmeasured, a, b);
    expect(whole / length).toBeGreaterThan(0.004);
    expect(whole / length).toBeLessThan(0.007);
    expect(toleranceOfLengthMm(unmeasured, a, b, 0.1, 'same-printer')).toBeLessThan(0.3);
  });

  it('states the doubt of the thickness as length / height: 340 mm, 500 mm up, ±1 mm is 0.7 mm and the rest', () => {
    const camera = cameraOver({ widthPx: 4032, heightPx: 3024, focalPx: 2912, distanceMm: 503, tiltRad: 0 });
    const cards = SPOTS.slice(0, 4).map(([x, y], id) => ({
      id,
      centre: { x: 0.9 * x, y: 0.8 * y },
      turnRad: id,
    }));
    const seen = cards.map((card) => sightingOf(camera, card, 0.02, seededNormal(4)));
    const sure = captureFrom(seen, camera, { ...OPTIONS, thicknessDoubtMm: 0 });
    const unsure = captureFrom(seen, camera, { ...OPTIONS, thicknessDoubtMm: 1 });
    // Any 340 mm in the capture's frame under the camera.
    const foot = { x: sure.camera.centreMm[0], y: sure.camera.centreMm[1] };
    const [a, b] = [
      { x: foot.x - 170, y: foot.y },
      { x: foot.x + 170, y: foot.y },
    ];
    const less = toleranceOfLengthMm(sure, a, b);
    const more = toleranceOfLengthMm(unsure, a, b);
    expect(Math.sqrt(more ** 2 - less ** 2)).toBeCloseTo(340 / 500, 1);
  });

  it('of a piece is the worst over its spans', () => {
    const { camera, cards } = drawWorld(4, seededRandom(2), seededNormal(3));
    const capture = captureFrom(
      cards.map((card) => sightingOf(camera, card, 0.1, seededNormal(4))),
      camera,
    );
    const outline = [
      [-150, -80],
      [150, -80],
      [150, 80],
      [-150, 80],
    ].map(([x, y]) => ({ x: x!, y: y! }));
    const pairs = outline.flatMap((a, i) =>
      outline.slice(0, i).map((b) => toleranceOfLengthMm(capture, a, b)),
    );
    expect(worstToleranceMm(capture, outline)).toBeCloseTo(Math.max(...pairs), 6);
    expect(worstToleranceMm(capture, [])).toBe(0);
    expect(worstToleranceMm(capture, [{ x: 0, y: 0 }])).toBe(0);
  });
});
