/** Drawn lines on a photo measured by a bank card or by the very sheet that they are drawn on: true mm inside the tolerance. */
import { beforeAll, describe, expect, it } from 'vitest';
import { imageToPlane } from '../../src/capture/camera.ts';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { farthestTwo } from '../../src/capture/marks-on-table.ts';
import type { Reference } from '../../src/capture/types.ts';
import { flattenPath, pathLengthMm, polylineLengthMm } from '../../src/geometry/measure.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { statedTolerance } from '../../src/stated-tolerance.ts';
import { DEFAULT_DRAWN_OPTIONS } from '../../src/trace/drawn/drawn-types.ts';
import { traceDrawn } from '../../src/trace/drawn/trace-drawn.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { factsOf, phoneLens, phonePicture } from '../simulator/captures.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import { cameraAt, distanceToShow } from '../simulator/poses.ts';
import { emptyScene, rectangleOutline, ROOM_LIGHT, table } from '../simulator/presets.ts';
import { type Scene, SHEET_SIZES, type SheetSize, type SimBankCard } from '../simulator/scene.ts';
import { seeded } from '../simulator/seeded.ts';
import { drawn, guardOutline, p95Mm, scoreLine } from './drawn-scene.ts';

const PAPER_MM = 0.1;
let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

const larger = (points: readonly PlanePoint[]): PlanePoint[] =>
  points.map(({ x, y }) => ({ x: 1.3 * x, y: 15 + 1.3 * y }));
const OUTLINE = larger(guardOutline());
const SCORE = larger(scoreLine());
/** The sheet lies long side across, a little askew; its own sides are off as ISO 216 allows. */
const SHEET_TURN = Math.PI / 2 + 0.03;

interface Laid {
  readonly size?: SheetSize;
  readonly excessMm?: readonly [number, number];
  readonly bankCard?: Pick<SimBankCard, 'centre' | 'turnRad' | 'heightMm'>;
}

function sceneOf(seed: number, { size = 'A4', excessMm = [0, 0], bankCard }: Laid): Scene {
  const random = seeded(seed);
  const lens = phoneLens(8, true, random);
  const [short, long] = SHEET_SIZES[size];
  const pose = {
    tiltRad: random.between(0.05, 0.3),
    azimuthRad: random.between(0, 2 * Math.PI),
    rollRad: random.normal(0.04),
    target: { x: 0, y: 0 },
  };
  const shown = [
    ...rectangleOutline({ x: 0, y: 0 }, long + 12, short + 12, 0.03),
    ...(bankCard ? rectangleOutline(bankCard.centre, 100, 100, 0) : []),
  ];
  const camera = cameraAt(lens, { ...pose, distanceMm: 1.06 * distanceToShow(lens, pose, shown) });
  const isPencil = seed % 2 === 0;
  const line = (points: readonly PlanePoint[], closed: boolean) =>
    drawn(points, closed, isPencil ? 'pencil' : 'marker', isPencil ? 0.7 : 1, isPencil ? 0.7 : 0.9);
  return emptyScene(camera, {
    seed,
    picture: phonePicture(8, random),
    light: ROOM_LIGHT,
    table: table(seed % 3 === 0 ? 'plain' : 'wood'),
    sheets: [
      { size, centre: { x: 0, y: 0 }, turnRad: SHEET_TURN, heightMm: 0, color: [0.82, 0.82, 0.8], excessMm },
    ],
    lines: [line(OUTLINE, true), line(SCORE, false)],
    ...(bankCard && { bankCards: [{ ...bankCard, color: [0.03, 0.06, 0.22] as const }] }),
    facts: factsOf(camera, 'width'),
  });
}

async function traced(scene: Scene, references: readonly Reference[]) {
  const photo = await photograph(scene);
  const outcome = capturePhoto(vision, photo, { facts: scene.facts, thicknessMm: PAPER_MM, references });
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const capture = outcome.value;
  return { capture, trace: traceDrawn(vision, photo, capture, DEFAULT_DRAWN_OPTIONS) };
}

const BESIDE = { centre: { x: 0, y: -150 }, turnRad: 0.1, heightMm: 0 };
const ON_SHEET = { centre: { x: 95, y: -70 }, turnRad: 0.1, heightMm: 0.1 };
const EXCESS_MM = [1.2, -0.9] as const;

/** The bank card's corners, roughly, as a maker points them out. */
function pointedCard({ camera, bankCards }: Scene) {
  const { centre, turnRad } = bankCards[0]!;
  return rectangleOutline(centre, 87, 52.5, turnRad).map(({ x, y }) => project(camera, x, y, 0.4));
}

/** Both drawn lines are there, true to their sizes within what is stated, and lie where they were drawn. */
function expectTrue(scene: Scene, { capture, trace }: Awaited<ReturnType<typeof traced>>): void {
  expect(trace.pieces).toHaveLength(1);
  const { outer, innerLines = [], toleranceMm } = trace.pieces[0]!;
  const stated = statedTolerance(toleranceMm);
  const [span, truth] = [flattenPath(outer.path, 0.01), OUTLINE].map((points) =>
    distanceMm(...farthestTwo(points)!),
  );
  expect(Math.abs(span! - truth!)).toBeLessThan(stated);
  expect(stated).toBeLessThan(2);
  expect(innerLines).toHaveLength(1);
  expect(Math.abs(pathLengthMm(innerLines[0]!.path) - polylineLengthMm(SCORE, false))).toBeLessThan(stated);
  const seen = OUTLINE.map(({ x, y }) =>
    imageToPlane(capture.camera, project(scene.camera, x, y, PAPER_MM), PAPER_MM),
  );
  expect(p95Mm(outer.path, seen)).toBeLessThan(0.1);
}

describe.each([11, 12])('lines drawn on a sheet come out in true mm (seed %i)', (seed) => {
  it('by a bank card beside the sheet', async () => {
    const scene = sceneOf(seed, { bankCard: BESIDE });
    expectTrue(scene, await traced(scene, [{ kind: 'bank-card' }]));
  });

  it('by a bank card on the sheet, pointed out, which is no line of the drawing', async () => {
    const scene = sceneOf(seed, { bankCard: ON_SHEET });
    expectTrue(scene, await traced(scene, [{ kind: 'bank-card', nearPx: pointedCard(scene) }]));
  });

  it('by the sheet itself, by its name and by its measured sides', async () => {
    const scene = sceneOf(seed, { excessMm: EXCESS_MM });
    const measuredMm = { shortMm: 210 + EXCESS_MM[0], longMm: 297 + EXCESS_MM[1] };
    for (const sides of [{}, { measuredMm }])
      expectTrue(scene, await traced(scene, [{ kind: 'sheet', sheet: 'A4', ...sides }]));
  });
});
