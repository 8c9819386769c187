import { expect, it } from 'vitest';
import { imageToPlane } from '../../src/capture/camera.ts';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { guidance } from '../../src/capture/guidance.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture } from '../../src/capture/types.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { project } from '../simulator/lens.ts';
import { photograph } from '../simulator/photograph.ts';
import { type CardSpot, cameraAt, plainLens } from '../simulator/poses.ts';
import { emptyScene, flatCard, PHONE_PICTURE, ROOM_LIGHT, table } from '../simulator/presets.ts';
import type { Scene } from '../simulator/scene.ts';

const BARS = { acrossMm: 150, alongMm: 200 };
const SPOTS: readonly CardSpot[] = [
  { id: 0, centre: { x: 120, y: -40 }, turnRad: 0.1 },
  { id: 1, centre: { x: 150, y: 80 }, turnRad: 0.5 },
];

function sceneWith(spots: readonly CardSpot[]): Scene {
  const camera = cameraAt(
    { ...plainLens(3), k1: 0.015 },
    { tiltRad: 0.2, azimuthRad: 2, rollRad: 0.02, target: { x: 0, y: 0 }, distanceMm: 560 },
  );
  return emptyScene(camera, {
    picture: { ...PHONE_PICTURE, edgeSamples: 34 },
    light: ROOM_LIGHT,
    table: table('wood'),
    cards: spots.map((spot) => flatCard(spot)),
  });
}

it('a card laid in the photo where guidance says gives the tolerance that it foretold', async () => {
  const vision = await loadVisionInNode();
  const measure = async (spots: readonly CardSpot[]): Promise<{ capture: Capture; scene: Scene }> => {
    const scene = sceneWith(spots);
    const outcome = capturePhoto(vision, await photograph(scene), {
      facts: scene.facts,
      printer: BARS,
      thicknessMm: 0.1,
    });
    if (!outcome.ok) throw new Error(outcome.problem.message);
    return { capture: outcome.value, scene };
  };
  const ends = ({ capture, scene }: { capture: Capture; scene: Scene }): [PlanePoint, PlanePoint] => {
    const at = (x: number, y: number) => imageToPlane(capture.camera, project(scene.camera, x, y, 0.1), 0.1);
    return [at(-180, -60), at(140, 20)];
  };
  const before = await measure(SPOTS);
  const advice = guidance(before.capture, { hasPrinter: true, hasTape: false, span: ends(before) }).find(
    ({ action }) => action === 'add-card',
  )!;
  // The capture's frame lies at the first card; the scene's is the world's.
  const first = before.capture.cards.find(({ id }) => id === 0)!;
  const turn = SPOTS[0]!.turnRad - first.turnRad;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const [dx, dy] = [advice.at!.x - first.centre.x, advice.at!.y - first.centre.y];
  const centre = {
    x: SPOTS[0]!.centre.x + c * dx - s * dy,
    y: SPOTS[0]!.centre.y + s * dx + c * dy,
  };
  const turnRad = SPOTS[0]!.turnRad + (advice.isTurned ? Math.PI / 2 : 0);
  const after = await measure([...SPOTS, { id: 2, centre, turnRad }]);
  const achieved = toleranceOfLengthMm(after.capture, ...ends(after));
  expect(achieved).toBeLessThan(0.8 * advice.toleranceMm.before);
  expect(advice.toleranceMm.after / achieved).toBeGreaterThan(0.75);
  expect(advice.toleranceMm.after / achieved).toBeLessThan(1.25);
});
