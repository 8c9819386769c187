import { describe, expect, it } from 'vitest';
import { planeToImage } from '../../src/capture/camera.ts';
import { solveWithoutStrays } from '../../src/capture/misfit.ts';
import { captureOf } from '../../src/capture/solved-capture.ts';
import { statedTolerance } from '../../src/stated-tolerance.ts';
import { toleranceOfLengthMm } from '../../src/capture/tolerance.ts';
import {
  contourLevels,
  partAbove,
  type ToleranceField,
  toleranceField,
} from '../../src/capture/tolerance-field.ts';
import { cameraOver, seededNormal } from './card-renderer.ts';
import { inputOf, sightingOf } from './synthetic.ts';

const CAMERA = cameraOver({ widthPx: 4032, heightPx: 3024, focalPx: 2912, distanceMm: 720, tiltRad: 0.3 });

/** Cards in the left half only. */
function leftHandCapture() {
  const options = {
    facts: { focalLength35Mm: 26 },
    thicknessMm: 3,
    printer: { acrossMm: 150, alongMm: 200 },
  };
  const seen = [
    { x: -250, y: 100, turnRad: 0 },
    { x: -250, y: -100, turnRad: 1.6 },
    { x: -120, y: 20, turnRad: 0.5 },
  ].map(({ x, y, turnRad }, id) =>
    sightingOf(CAMERA, { id, centre: { x, y }, turnRad }, 0.1, seededNormal(id + 1)),
  );
  return captureOf(solveWithoutStrays(inputOf(CAMERA, seen, options.facts, options.printer))!, seen, options);
}

/** A field that is its own column number. */
const RAMP: ToleranceField = {
  columns: 5,
  rows: 4,
  stepU: 10,
  stepV: 10,
  valuesMm: Array.from({ length: 20 }, (_, k) => k % 5),
  fromMm: { x: 0, y: 0 },
};

const area = (points: readonly { u: number; v: number }[]): number =>
  Math.abs(
    points.reduce((sum, p, i) => {
      const q = points[(i + 1) % points.length]!;
      return sum + (p.u * q.v - q.u * p.v) / 2;
    }, 0),
  );

describe('the tolerance over the table', () => {
  it('is the tolerance of the distance from the middle, and grows away from the cards', () => {
    const capture = leftHandCapture();
    const field = toleranceField(capture, { columns: 9, rows: 7 });
    const at = { x: field.fromMm.x + 90, y: field.fromMm.y + 40 };
    const { u, v } = planeToImage(capture.camera, at, capture.thicknessMm);
    const fine = toleranceField(capture, { columns: 2, rows: 2 }, field.fromMm);
    expect(fine.valuesMm[0]).toBeCloseTo(field.valuesMm[0]!, 9);
    const [column, row] = [Math.round(u / field.stepU), Math.round(v / field.stepV)];
    const stated = statedTolerance(toleranceOfLengthMm(capture, field.fromMm, at));
    const near = field.valuesMm[row * 9 + column]!;
    expect(near).toBeGreaterThan(0.3 * stated);
    expect(near).toBeLessThan(3 * stated);
    // The right border, far from every card, against the left one, beside them.
    expect(field.valuesMm[3 * 9 + 8]!).toBeGreaterThan(1.5 * field.valuesMm[3 * 9]!);
  });

  it('has at most four round contours, all inside its range', () => {
    const field = toleranceField(leftHandCapture(), { columns: 12, rows: 9 });
    const levels = contourLevels(field);
    expect(levels.length).toBeGreaterThan(0);
    expect(levels.length).toBeLessThanOrEqual(4);
    for (const level of levels) {
      expect(level).toBeGreaterThan(Math.min(...field.valuesMm));
      expect(level).toBeLessThan(Math.max(...field.valuesMm));
    }
    expect([...levels].sort((a, b) => a - b)).toEqual(levels);
  });

  it('is cut where the values pass the level: a ramp at a straight line', () => {
    const { polygons, contour } = partAbove(RAMP, 1.25);
    expect(polygons.reduce((sum, polygon) => sum + area(polygon), 0)).toBeCloseTo(27.5 * 30, 9);
    for (const { u } of contour.flat()) expect(u).toBeCloseTo(12.5, 9);
    const length = contour.reduce((sum, [a, b]) => sum + Math.hypot(a.u - b.u, a.v - b.v), 0);
    expect(length).toBeCloseTo(30, 9);
    expect(partAbove(RAMP, 9).polygons).toEqual([]);
    expect(contourLevels({ ...RAMP, valuesMm: RAMP.valuesMm.map(() => 1) })).toEqual([]);
  });

  it('leaves out what the photo does not show of the table', () => {
    const holed = { ...RAMP, valuesMm: RAMP.valuesMm.map((value, k) => (k === 0 ? Number.NaN : value)) };
    const whole = partAbove(RAMP, 0).polygons.reduce((sum, polygon) => sum + area(polygon), 0);
    const left = partAbove(holed, 0).polygons.reduce((sum, polygon) => sum + area(polygon), 0);
    expect(whole - left).toBeCloseTo(100, 9);
  });
});
