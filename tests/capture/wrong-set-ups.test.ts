import { beforeAll, describe, expect, it } from 'vitest';
import { imageToPlane } from '../../src/capture/camera.ts';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture, CaptureOptions, CaptureWarning } from '../../src/capture/types.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { tracePieces } from '../../src/trace/trace-pieces.ts';
import { DEFAULT_TRACE_OPTIONS } from '../../src/trace/types.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { lengthsIn } from '../simulator/captures.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import {
  type CardSpot,
  cameraAt,
  cardCorners,
  distanceToShow,
  plainLens,
  type Pose,
} from '../simulator/poses.ts';
import {
  emptyScene,
  flatCard,
  PHONE_PICTURE,
  rectangleOutline,
  ROOM_LIGHT,
  table,
} from '../simulator/presets.ts';
import type { Scene, SimCard, SimPiece } from '../simulator/scene.ts';
import { seeded } from '../simulator/seeded.ts';
import { hourglassPoints } from '../simulator/truth.ts';

let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

/** Four cards round a landscape A4 region, one of them on its side. */
const SPOTS: readonly CardSpot[] = [
  { id: 0, centre: { x: -205, y: 80 }, turnRad: 0.1 },
  { id: 1, centre: { x: 205, y: 75 }, turnRad: Math.PI / 2 - 0.05 },
  { id: 2, centre: { x: 200, y: -85 }, turnRad: 0.2 },
  { id: 3, centre: { x: -200, y: -80 }, turnRad: -0.1 },
];
const LENS = { ...plainLens(3), k1: 0.02 };
const PIECE: SimPiece = {
  outer: rectangleOutline({ x: 0, y: 0 }, 240, 110, 0.05),
  holes: [],
  thicknessMm: 0.2,
  color: [0.7, 0.68, 0.62],
};

interface SetUp {
  readonly spots?: readonly CardSpot[];
  readonly tiltDeg?: number;
  /** Changes to single cards, by id. */
  readonly cards?: Readonly<Record<number, Partial<SimCard>>>;
  readonly scene?: (ordinary: Scene) => Partial<Scene>;
  readonly options?: Partial<CaptureOptions>;
}

/** The scene of a set-up: ordinary but for what it says. */
function sceneOf({ spots = SPOTS, tiltDeg = 12, cards = {}, scene }: SetUp): Scene {
  const pose: Omit<Pose, 'distanceMm'> = {
    tiltRad: (tiltDeg * Math.PI) / 180,
    azimuthRad: 1.1,
    rollRad: 0.03,
    target: { x: 0, y: 0 },
  };
  const corners = SPOTS.flatMap(cardCorners);
  const camera = cameraAt(LENS, { ...pose, distanceMm: distanceToShow(LENS, pose, corners) });
  const ordinary = emptyScene(camera, {
    seed: 12,
    picture: { ...PHONE_PICTURE, edgeSamples: 34 },
    light: ROOM_LIGHT,
    table: table('wood'),
    pieces: [PIECE],
    cards: spots.map((spot) => flatCard(spot, { inkSpreadMm: 0.03, ...cards[spot.id] })),
  });
  return { ...ordinary, ...scene?.(ordinary) };
}

interface Answer {
  readonly scene: Scene;
  readonly photo: Raster;
  readonly outcome: ReturnType<typeof capturePhoto>;
  readonly warnings: readonly CaptureWarning[];
}

async function answerTo(setUp: SetUp): Promise<Answer> {
  const scene = sceneOf(setUp);
  const options: CaptureOptions = {
    facts: scene.facts,
    thicknessMm: 0.2,
    printer: { acrossMm: 150, alongMm: 200 },
    ...setUp.options,
  };
  const photo = await photograph(scene);
  const outcome = capturePhoto(vision, photo, options);
  return { scene, photo, outcome, warnings: outcome.ok ? outcome.value.warnings : [] };
}

/** Largest error of 60 lengths inside the A4 region, mm, and the largest as a multiple of its stated sigma. */
function lengthsOff({ scene, outcome }: Answer): { worstMm: number; worstSigmas: number } {
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const capture: Capture = outcome.value;
  let [worstMm, worstSigmas] = [0, 0];
  for (const [a, b] of lengthsIn('A4', 60, seeded(3))) {
    const [pa, pb] = [a, b].map(({ x, y }) =>
      imageToPlane(capture.camera, project(scene.camera, x, y, 0.2), 0.2),
    );
    const error = Math.abs(Math.hypot(pa!.x - pb!.x, pa!.y - pb!.y) - Math.hypot(a.x - b.x, a.y - b.y));
    worstMm = Math.max(worstMm, error);
    worstSigmas = Math.max(worstSigmas, error / toleranceOfLengthMm(capture, pa!, pb!));
  }
  return { worstMm, worstSigmas };
}

/** What the trace then says of each piece, from the left of the table to its right, and how wide the piece came out, mm. */
function tracedPieces({ photo, outcome }: Answer) {
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return tracePieces(vision, photo, outcome.value, DEFAULT_TRACE_OPTIONS)
    .pieces.map(({ outer, warnings }) => {
      const xs = outer.measured.map(({ x }) => x);
      const [left, right] = [Math.min(...xs), Math.max(...xs)];
      return { left, widthMm: right - left, codes: warnings.map(({ code }) => code) };
    })
    .sort((a, b) => a.left - b.left);
}

const codes = (warnings: readonly CaptureWarning[]): string[] =>
  warnings.map(({ code, cardId }) => (cardId === undefined ? code : `${code} ${cardId}`));

/** Every sentence says what to do, and names its card. */
function expectWords(warnings: readonly CaptureWarning[]): void {
  for (const { message, cardId } of warnings) {
    expect(message.length).toBeGreaterThan(60);
    expect(message).toMatch(/\.$/);
    if (cardId !== undefined) expect(message).toContain(String(cardId));
  }
}

describe('a right set-up', () => {
  it('is measured without a warning, to two tenths of a millimetre', async () => {
    const answer = await answerTo({});
    expect(codes(answer.warnings)).toEqual([]);
    const { worstMm, worstSigmas } = lengthsOff(answer);
    expect(worstMm).toBeLessThan(0.2);
    expect(worstSigmas).toBeLessThan(2);
  });
});

describe('a right set-up on a patterned table', () => {
  it.each(['grid', 'cloth'] as const)('makes no card of the pattern: %s', async (kind) => {
    const answer = await answerTo({ scene: () => ({ table: table(kind) }) });
    expect(codes(answer.warnings)).toEqual([]);
  });
});

describe('a wrong set-up is answered by a sentence of its own', () => {
  it('no card', async () => {
    const { outcome } = await answerTo({ spots: [] });
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) {
      expect(outcome.problem.code).toBe('no-card');
      expect(outcome.problem.message).toMatch(/No scale card was found/);
    }
  });

  it('one card: lengths stay inside three times their (wide) tolerance', async () => {
    const answer = await answerTo({ spots: SPOTS.slice(0, 1) });
    expect(codes(answer.warnings)).toEqual(['one-card']);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('two cards', async () => {
    const answer = await answerTo({ spots: [SPOTS[0]!, SPOTS[2]!] });
    expect(codes(answer.warnings)).toContain('two-cards');
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('cards bunched in one corner', async () => {
    const bunch = SPOTS.map((spot, i) => ({
      ...spot,
      centre: { x: -200 + 84 * (i % 2), y: 20 + 84 * Math.floor(i / 2) },
      turnRad: 0,
    }));
    const answer = await answerTo({ spots: bunch, scene: () => ({ pieces: [] }) });
    expect(codes(answer.warnings)).toEqual(['cards-bunched']);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it("a card cut off by the photo's border", async () => {
    // The cards lie as far out as the picture reaches; this one half a mark farther.
    const { camera } = sceneOf({});
    const spots = SPOTS.map((spot) => {
      if (spot.id !== 1) return spot;
      let { x } = spot.centre;
      const right = (): number => project(camera, x + 36, spot.centre.y, 0.1).u;
      while (right() < camera.widthPx - 1) x += 0.5;
      return { ...spot, centre: { ...spot.centre, x } };
    });
    const answer = await answerTo({ spots });
    expect(codes(answer.warnings)).toEqual(['card-cut-off 1']);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it("a card whose black square is cut by the photo's border, so that nothing reads it", async () => {
    const { camera } = sceneOf({});
    const spots = SPOTS.map((spot) => {
      if (spot.id !== 1) return spot;
      let { x } = spot.centre;
      while (project(camera, x, spot.centre.y, 0.1).u < camera.widthPx - 1) x += 0.5;
      return { ...spot, centre: { ...spot.centre, x: x - 8 } };
    });
    const answer = await answerTo({ spots });
    expect(codes(answer.warnings)).toEqual(['card-unread 1']);
    expect(answer.warnings[0]!.message).toMatch(
      /^Card 1 in the top right corner of the photo was not used, because the photo's border cuts/,
    );
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
    // Nor is what shows of it a piece.
    expect(tracedPieces(answer).map((piece) => piece.codes)).toEqual([[]]);
  });

  it('a card half covered by a piece, so that nothing reads it', async () => {
    const over = { ...PIECE, outer: rectangleOutline({ x: 215, y: -145 }, 130, 120), heightMm: 0.5 };
    const answer = await answerTo({ scene: () => ({ pieces: [PIECE, over] }) });
    expect(codes(answer.warnings)).toEqual(['card-unread 2']);
    expect(answer.warnings[0]!.message).toMatch(
      /^Card 2 in the bottom right corner of the photo was not used, because part of its black square is covered/,
    );
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
    // The card is no part of the piece that lies over it, and that piece's edge is said to be in doubt there.
    const [piece, covering] = tracedPieces(answer);
    expect(piece!.codes).toEqual([]);
    expect(covering!.codes).toContain('touches-card');
    expect(covering!.widthMm).toBeLessThan(132);
  });

  it('a card of which one mark and a part of the square show', async () => {
    const over = { ...PIECE, outer: rectangleOutline({ x: -225, y: -125 }, 150, 80, -0.7), heightMm: 0.5 };
    const answer = await answerTo({ scene: () => ({ pieces: [PIECE, over] }) });
    expect(codes(answer.warnings).map((code) => code.split(' ')[0])).toEqual(['card-unread']);
    expectWords(answer.warnings);
  });

  it('a photo out of focus', async () => {
    const answer = await answerTo({ scene: ({ picture }) => ({ picture: { ...picture, blurSigmaPx: 4 } }) });
    expect(codes(answer.warnings)).toContain('blur');
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('a shaken phone', async () => {
    const answer = await answerTo({
      scene: ({ picture }) => ({ picture: { ...picture, motionPx: { u: 10, v: 6 } } }),
    });
    expect(codes(answer.warnings)).toContain('blur');
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('the same card twice', async () => {
    const spots = SPOTS.map((spot) => (spot.id === 3 ? { ...spot, id: 0 } : spot));
    const answer = await answerTo({ spots });
    expect(codes(answer.warnings)).toEqual(['card-twice 0']);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstMm).toBeLessThan(0.3);
  });

  it('one card printed at another size', async () => {
    const answer = await answerTo({ cards: { 2: { print: { across: 0.97, along: 0.97 } } } });
    expect(codes(answer.warnings)).toEqual(['card-other-size 2']);
    expectWords(answer.warnings);
    expect(answer.warnings[0]!.message).toMatch(/[23]\.\d % smaller/);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('a card that is bent', async () => {
    const answer = await answerTo({
      cards: { 1: { curl: { directionRad: 0.3, riseMm: 7, halfSpanMm: 40 } } },
    });
    // The marks are not where a flat card has them, which may be said as well; it must not be taken for glare.
    expect(codes(answer.warnings)).toContain('card-bent 1');
    expect(codes(answer.warnings).filter((code) => !/^card-(bent|covered) 1$/.test(code))).toEqual([]);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('a card leaning on something', async () => {
    const answer = await answerTo({
      cards: { 3: { curl: { directionRad: 0.8, riseMm: 0, halfSpanMm: 40, slope: 0.12 } } },
    });
    expect(codes(answer.warnings).filter((code) => code.endsWith(' 3')).length).toBeGreaterThan(0);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('a card lying on a thick piece', async () => {
    const slab: SimPiece = {
      outer: rectangleOutline({ x: -200, y: -80 }, 110, 110),
      holes: [],
      thicknessMm: 10,
      color: [0.08, 0.09, 0.1],
    };
    const answer = await answerTo({
      cards: { 3: { heightMm: 10 } },
      scene: () => ({ pieces: [PIECE, slab] }),
    });
    expect(codes(answer.warnings)).toEqual(['card-other-size 3']);
    expectWords(answer.warnings);
    expect(answer.warnings[0]!.message).toMatch(/lies about (8|9|10|11|12) mm above the table/);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('glare over a card', async () => {
    const answer = await answerTo({
      scene: ({ light }) => ({
        light: { ...light, glare: { centre: { x: 240, y: 110 }, radiusMm: 15, strength: 1.4 } },
      }),
    });
    expect(codes(answer.warnings)).toContain('glare 1');
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('a phone tilted by 42 degrees', async () => {
    const answer = await answerTo({ tiltDeg: 42 });
    expect(codes(answer.warnings)).toEqual(['tilt']);
    expect(answer.warnings[0]!.message).toMatch(/4[123]°/);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it("a piece lying over a card's corner", async () => {
    const over = { ...PIECE, outer: rectangleOutline({ x: -155, y: 37 }, 40, 40), heightMm: 0.15 };
    const answer = await answerTo({ scene: () => ({ pieces: [PIECE, over] }) });
    expect(codes(answer.warnings)).toEqual(['card-covered 0']);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('a photo that was taken zoomed in or cropped, so that its header names another lens', async () => {
    const answer = await answerTo({ options: { facts: { focalLength35Mm: 52 } } });
    expect(codes(answer.warnings)).toEqual(['focal-unlike-exif']);
    expectWords(answer.warnings);
  });

  it('a photo without a header', async () => {
    const answer = await answerTo({ options: { facts: {} } });
    expect(codes(answer.warnings)).toEqual(['no-focal']);
    expectWords(answer.warnings);
    expect(lengthsOff(answer).worstSigmas).toBeLessThan(3);
  });

  it('bars that contradict the tape: the cards were printed at 96 % but the bars entered as right', async () => {
    const print = { across: 0.96, along: 0.96 };
    const cards = Object.fromEntries(SPOTS.map(({ id }) => [id, { print }]));
    const { cards: laid } = sceneOf({ cards });
    const [a, b] = [hourglassPoints(laid[0]!)[0]!, hourglassPoints(laid[2]!)[2]!];
    const tape = {
      from: { cardId: 0, mark: 0 },
      to: { cardId: 2, mark: 2 },
      lengthMm: Math.hypot(a.x - b.x, a.y - b.y),
      doubtMm: 0.5,
    } as const;
    const answer = await answerTo({ cards, options: { tapes: [tape] } });
    expect(codes(answer.warnings)).toContain('tape-disagrees');
    expectWords(answer.warnings);
  });
});
