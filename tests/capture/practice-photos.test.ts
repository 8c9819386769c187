import { beforeAll, describe, expect, it } from 'vitest';
import { imageToPlane, planeToImage, tiltRad } from '../../src/capture/camera.ts';
import { capturePhoto } from '../../src/capture/capture-photo.ts';
import { CARD_FACE_HEIGHT_MM } from '../../src/capture/card.ts';
import { seeCard } from '../../src/capture/card-points.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import type { Capture } from '../../src/capture/types.ts';
import { distanceMm, type PlanePoint } from '../../src/geometry/point.ts';
import { loadVisionInNode } from '../../src/headless/load-vision.ts';
import { type PhotoFile, readPhotoFile } from '../../src/headless/read-photo.ts';
import { findMarkers } from '../../src/vision/markers.ts';
import type { Vision } from '../../src/vision/opencv.ts';
import { type PracticePhoto, readTruth, type Truth } from '../setup/truth.ts';
import { onTable } from './card-renderer.ts';

let vision: Vision;
beforeAll(async () => {
  vision = await loadVisionInNode();
});

/** Distances that remain after the rigid motion that lays `moved` on `fixed` best. */
function distancesLaidOn(fixed: readonly PlanePoint[], moved: readonly PlanePoint[]): number[] {
  const mean = (points: readonly PlanePoint[], key: 'x' | 'y') =>
    points.reduce((sum, p) => sum + p[key], 0) / points.length;
  const [fx, fy, mx, my] = [mean(fixed, 'x'), mean(fixed, 'y'), mean(moved, 'x'), mean(moved, 'y')];
  let [along, across] = [0, 0];
  moved.forEach((p, i) => {
    const q = fixed[i]!;
    along += (p.x - mx) * (q.x - fx) + (p.y - my) * (q.y - fy);
    across += (p.x - mx) * (q.y - fy) - (p.y - my) * (q.x - fx);
  });
  const turn = Math.atan2(across, along);
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  return moved.map((p, i) =>
    Math.hypot(
      c * (p.x - mx) - s * (p.y - my) + fx - fixed[i]!.x,
      s * (p.x - mx) + c * (p.y - my) + fy - fixed[i]!.y,
    ),
  );
}

const percentile95 = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(0.95 * values.length)]!;

describe.each<PracticePhoto>(['brow-band', 'guards-and-crest', 'crown-front'])('%s', (name) => {
  let truth: Truth;
  let file: PhotoFile;
  let capture: Capture;
  beforeAll(async () => {
    truth = readTruth(name);
    file = await readPhotoFile(truth.photoFile);
    const outcome = capturePhoto(vision, file.raster, {
      facts: file.facts,
      printer: { acrossMm: 150, alongMm: 200 },
      thicknessMm: truth.pieces[0]!.thicknessMm,
    });
    if (!outcome.ok) throw new Error(outcome.problem.message);
    capture = outcome.value;
  });

  it('every piece, carried through the true camera and back through the solved one, is right to 0.05 mm', () => {
    for (const { outer, holes, thicknessMm } of truth.pieces) {
      const points = [outer, ...holes].flat();
      const back = points.map((point) =>
        imageToPlane(capture.camera, planeToImage(truth.camera, point, thicknessMm), thicknessMm),
      );
      expect(percentile95(distancesLaidOn(points, back))).toBeLessThan(0.05);
    }
  });

  it("every distance between cards' centres is right to 0.1 mm, and inside two stated tolerances", () => {
    for (const a of truth.cards) {
      for (const b of truth.cards) {
        if (a.id >= b.id) continue;
        const [p, q] = [a, b].map(({ id }) => capture.cards.find((card) => card.id === id)!.centre);
        const error = Math.abs(distanceMm(p!, q!) - distanceMm(a.centre, b.centre));
        expect(error).toBeLessThan(0.1);
        expect(error).toBeLessThan(2 * toleranceOfLengthMm(capture, p!, q!, CARD_FACE_HEIGHT_MM));
      }
    }
  });

  it('marks lie within 0.05 px of the truth: (0, 0) is the centre of the first pixel, here and there', () => {
    const errors = findMarkers(vision, file.raster, 12).flatMap((marker) => {
      const card = truth.cards.find(({ id }) => id === marker.id)!;
      return seeCard(file.raster, marker)!.points.map(({ at, seen }) => {
        const { u, v } = planeToImage(truth.camera, onTable(card, at), CARD_FACE_HEIGHT_MM);
        return { u: seen.u - u, v: seen.v - v };
      });
    });
    expect(errors).toHaveLength(4 * truth.cards.length);
    const mean = (values: readonly number[]): number =>
      values.reduce((sum, value) => sum + value, 0) / values.length;
    // A mixed convention would show as half a pixel.
    expect(Math.abs(mean(errors.map(({ u }) => u)))).toBeLessThan(0.02);
    expect(Math.abs(mean(errors.map(({ v }) => v)))).toBeLessThan(0.02);
    expect(Math.sqrt(mean(errors.map(({ u, v }) => (u * u + v * v) / 2)))).toBeLessThan(0.03);
  });

  it('has nothing to complain of, and says how well it fits', () => {
    expect(capture.warnings).toEqual([]);
    expect(capture.rmsPx).toBeLessThan(0.05);
    for (const card of capture.cards) {
      expect(card.used).toBe(true);
      expect(card.residualMm).toBeLessThan(0.02);
    }
    expect(tiltRad(capture.camera)).toBeCloseTo(tiltRad(truth.camera), 2);
  });

  it("lies upright: the picture's right is the table's x, and the first card is the origin", () => {
    const middle = { u: (truth.camera.widthPx - 1) / 2, v: (truth.camera.heightPx - 1) / 2 };
    const a = imageToPlane(capture.camera, middle);
    const b = imageToPlane(capture.camera, { u: middle.u + 50, v: middle.v });
    expect(Math.abs(Math.atan2(b.y - a.y, b.x - a.x))).toBeLessThan(0.01);
    expect(Math.hypot(capture.cards[0]!.centre.x, capture.cards[0]!.centre.y)).toBeLessThan(1e-9);
  });

  it('survives the door and the file: plain data, back unchanged', () => {
    expect(JSON.parse(JSON.stringify(capture))).toEqual(capture);
    expect(structuredClone(capture)).toEqual(capture);
  });
});
