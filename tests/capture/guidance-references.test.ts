/** Advice beside a lone bank card or sheet, checked by rendering the photo with what was advised in it. */
import { beforeAll, describe, expect, it } from 'vitest';
import { imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { type Guidance, guidance, halving } from '../../src/capture/guidance.ts';
import type { GuidanceAsked } from '../../src/capture/guidance-options.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture, Reference } from '../../src/capture/types.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { factsOf, phoneLens, phonePicture } from '../simulator/captures.ts';
import { directionOf, project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import { cameraAt } from '../simulator/poses.ts';
import { emptyScene, flatCard, rectangleOutline, ROOM_LIGHT, table } from '../simulator/presets.ts';
import type { Scene } from '../simulator/scene.ts';
import { seeded } from '../simulator/seeded.ts';

const THICKNESS_MM = 0.1;
let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

/** A kraft piece in the middle, room all round. */
function bareScene(seed: number): Scene {
  const random = seeded(seed);
  const camera = cameraAt(phoneLens(3, true, random), {
    tiltRad: random.between(0.1, 0.3),
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: random.normal(0.03),
    target: { x: 0, y: 0 },
    distanceMm: 720,
  });
  return emptyScene(camera, {
    seed,
    picture: phonePicture(3, random),
    light: ROOM_LIGHT,
    table: table('wood'),
    pieces: [
      {
        outer: rectangleOutline({ x: 0, y: 0 }, 230, 120, 0.2),
        holes: [],
        thicknessMm: 0.1,
        color: [0.5, 0.33, 0.18],
      },
    ],
    facts: factsOf(camera, 'width'),
  });
}

const BANK_CARD = {
  centre: { x: 20, y: 130 },
  turnRad: 0.1,
  heightMm: 0,
  color: [0.03, 0.06, 0.22] as const,
};
const SHEET = {
  size: 'A4',
  centre: { x: 0, y: 0 },
  turnRad: Math.PI / 2,
  heightMm: 0,
  color: [0.84, 0.84, 0.83],
} as const;

async function measure(scene: Scene, references: readonly Reference[]): Promise<Capture> {
  const outcome = capturePhoto(vision, await photograph(scene), {
    facts: scene.facts,
    thicknessMm: THICKNESS_MM,
    references,
  });
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value;
}

/** Where on the scene's table a place of the capture's frame lies, by what the photo shows there. */
function inScene({ camera: lens }: Scene, { camera }: Capture, at: PlanePoint): PlanePoint {
  const { u, v } = planeToImage(camera, at);
  const [x, y] = directionOf(lens, u, v);
  const r = lens.rotation;
  const [dx, dy, dz] = [0, 1, 2].map((k) => r[k]! * x + r[3 + k]! * y + r[6 + k]!);
  const far = -lens.centreMm[2] / dz!;
  return { x: lens.centreMm[0] + far * dx!, y: lens.centreMm[1] + far * dy! };
}

/** Ends of the piece's diagonal in a capture's frame. */
function pieceSpan({ camera: lens, pieces }: Scene, { camera }: Capture): [PlanePoint, PlanePoint] {
  const at = ({ x, y }: PlanePoint) => imageToPlane(camera, project(lens, x, y, THICKNESS_MM), THICKNESS_MM);
  return [at(pieces[0]!.outer[0]!), at(pieces[0]!.outer[2]!)];
}

const asked = (scene: Scene, capture: Capture): GuidanceAsked => ({
  hasPrinter: false,
  hasTape: false,
  span: pieceSpan(scene, capture),
  pieces: [
    scene.pieces[0]!.outer.map(({ x, y }) => imageToPlane(capture.camera, project(scene.camera, x, y, 0))),
  ],
});

/** The first advice of a kind; the test fails where there is none. */
function adviceOf(found: readonly Guidance[], action: Guidance['action']): Guidance {
  const advice = found.find((each) => each.action === action);
  if (!advice) throw new Error(`no advice to ${action}: ${found.map((each) => each.action).join(', ')}`);
  return advice;
}

/** The scene and references with what an advice names laid in the photo. */
function followed(
  scene: Scene,
  capture: Capture,
  references: readonly Reference[],
  { action, at, isTurned, ends }: Guidance,
): [Scene, readonly Reference[]] {
  const place = at ?? { x: 0, y: 0 };
  const centre = inScene(scene, capture, place);
  const beyond = inScene(scene, capture, {
    x: place.x + (isTurned ? 0 : 10),
    y: place.y + (isTurned ? 10 : 0),
  });
  const turnRad = Math.atan2(beyond.y - centre.y, beyond.x - centre.x);
  if (action === 'add-card') {
    return [{ ...scene, cards: [flatCard({ id: 0, centre, turnRad })] }, [...references, { kind: 'cards' }]];
  }
  if (action === 'bank-card') {
    return [
      { ...scene, bankCards: [{ ...BANK_CARD, centre, turnRad }] },
      [...references, { kind: 'bank-card' }],
    ];
  }
  const measuredMm = { shortMm: 210, longMm: 297 };
  if (action === 'add-sheet') {
    const laid = { ...SHEET, centre, turnRad: turnRad + Math.PI / 2 };
    return [{ ...scene, sheets: [laid] }, [...references, { kind: 'sheet', sheet: 'A4', measuredMm }]];
  }
  if (action === 'measure-sheet') return [scene, [{ kind: 'sheet', sheet: 'A4', measuredMm }]];
  if (action !== 'known-distance' || !ends) throw new Error(action);
  const [from, to] = ends.map((end) => inScene(scene, capture, end));
  const pair: Reference = {
    kind: 'two-points',
    fromPx: project(scene.camera, from!.x, from!.y, 0.5),
    toPx: project(scene.camera, to!.x, to!.y, 0.5),
    distanceMm: distanceMm(from!, to!),
  };
  return [scene, [...references, pair]];
}

/** A bare scene with a lone bank card beside the piece, or a lone sheet under it. */
async function lone(kind: 'bank-card' | 'sheet', seed: number) {
  const bare = bareScene(seed);
  const scene = kind === 'bank-card' ? { ...bare, bankCards: [BANK_CARD] } : { ...bare, sheets: [SHEET] };
  const references: readonly Reference[] = kind === 'bank-card' ? [{ kind }] : [{ kind, sheet: 'A4' }];
  const capture = await measure(scene, references);
  return { scene, references, capture, found: guidance(capture, asked(scene, capture)) };
}

describe.each([11, 23])('what is advised gives about the tolerance that was foretold (seed %i)', (seed) => {
  it.each([
    ['bank-card', ['add-sheet', 'known-distance', 'add-card']],
    ['sheet', ['measure-sheet', 'bank-card', 'add-card']],
  ] as const)('beside a lone %s', async (kind, actions) => {
    const { scene, references, capture, found } = await lone(kind, seed);
    for (const action of actions) {
      const advice = adviceOf(found, action);
      expect(advice.sentence).toMatch(/^[^.]+ would bring ± \d+\.\d+ mm down to ± \d+\.\d+ mm\.$/u);
      const [then, by] = followed(scene, capture, references, advice);
      const after = await measure(then, by);
      // All that was laid was found.
      const used = [...after.references!, ...after.cards].filter((each) => each.used);
      expect(used).toHaveLength(by.length);
      const got = toleranceOfLengthMm(after, ...pieceSpan(then, after));
      expect(got).toBeLessThan(advice.toleranceMm.before);
      expect(advice.toleranceMm.after / got).toBeGreaterThan(0.8);
      expect(advice.toleranceMm.after / got).toBeLessThan(1.25);
    }
  });
});

describe('advice beside a lone reference', () => {
  it('halves a bank card by a measured sheet, in one step, and a sheet by measuring it', async () => {
    const card = await lone('bank-card', 23);
    expect(halving(card.capture, asked(card.scene, card.capture))!.actions).toEqual(['add-sheet']);
    const sheet = await lone('sheet', 5);
    const how = halving(sheet.capture, asked(sheet.scene, sheet.capture))!;
    expect(how.actions).toEqual(['measure-sheet']);
    expect(how.sentence).toMatch(
      /^Measuring both sides of the A4 sheet with a ruler and entering them would bring/u,
    );
  });

  it('is silent about what is there already or gains nothing', async () => {
    const { scene, capture, found } = await lone('sheet', 5);
    const offered = (advice: readonly Guidance[]) => advice.map(({ action }) => action);
    expect(offered(found)).not.toContain('add-sheet');
    // Two places on a tape are read no better than the sheet's own standard.
    expect(offered(found)).not.toContain('known-distance');
    const measuredMm = { shortMm: 210, longMm: 297 };
    const byRuler = await measure(scene, [{ kind: 'sheet', sheet: 'A4', measuredMm }]);
    const left = guidance(byRuler, { ...asked(scene, byRuler), hasSheetSides: true });
    expect(offered(left)).not.toContain('measure-sheet');
    for (const { toleranceMm } of [...found, ...left]) {
      expect(toleranceMm.after).toBeLessThan(0.9 * toleranceMm.before);
    }
    expect(capture.references![0]!.isUnderPieces).toBe(true);
  });

  it('lays a sheet where it shows whole, clear of the piece and the bank card, or under the piece', async () => {
    const { scene, capture, found } = await lone('bank-card', 5);
    const sheets = found.filter(({ action }) => action === 'add-sheet');
    expect(sheets.length).toBeGreaterThan(1);
    for (const { at, isTurned, sentence } of sheets) {
      const [halfX, halfY] = isTurned ? [105, 148.5] : [148.5, 105];
      const corners = rectangleOutline(at!, 2 * halfX, 2 * halfY, 0);
      for (const { u, v } of corners.map((corner) => planeToImage(capture.camera, corner))) {
        expect(Math.min(u, v, scene.camera.widthPx - u, scene.camera.heightPx - v)).toBeGreaterThan(0);
      }
      const isCovered = ({ x, y }: PlanePoint) => Math.abs(x - at!.x) < halfX && Math.abs(y - at!.y) < halfY;
      const piece = asked(scene, capture).pieces![0]!;
      expect(piece.some(isCovered)).toBe(sentence.includes('under the pieces'));
      const card = capture.references![0]!.cornersPx.map((px) => imageToPlane(capture.camera, px));
      expect(card.some(isCovered)).toBe(false);
    }
  });
});
