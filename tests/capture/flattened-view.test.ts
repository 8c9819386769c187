import { describe, expect, it } from 'vitest';
import { CARD_FACE_HEIGHT_MM } from '../../src/capture/card.ts';
import { flattenedView } from '../../src/capture/flattened-view.ts';
import { cameraOver, renderCards } from './card-renderer.ts';

const camera = cameraOver({
  widthPx: 900,
  heightPx: 700,
  focalPx: 800,
  distanceMm: 320,
  tiltRad: 0.5,
  azimuthRad: 2,
  rollRad: 1,
  k1: -0.05,
});
const card = { id: 0, centre: { x: 0, y: 0 }, turnRad: 0 };
const photo = renderCards({ camera, cards: [card], blurPx: 0.5, noise: 0, seed: 1 });
const AREA = { minX: -60, minY: -50, maxX: 60, maxY: 50 };

describe('the flattened view', () => {
  const view = flattenedView(photo, camera, AREA, 4, CARD_FACE_HEIGHT_MM);
  const grayAt = (x: number, y: number): number => {
    const column = Math.floor((x - AREA.minX) * 4);
    const row = Math.floor((AREA.maxY - y) * 4);
    return view.data[(row * view.width + column) * 4 + 1]!;
  };

  it('has the size asked for, y up', () => {
    expect([view.width, view.height]).toEqual([480, 400]);
  });

  it('shows a tilted card as printed: upright square, paper, first row of cells', () => {
    const [ink, paper] = [grayAt(-22, 0), grayAt(-27, 0)];
    expect(ink).toBeLessThan(80);
    expect(paper).toBeGreaterThan(200);
    for (const [x, y] of [
      [-24, 24],
      [24, 24],
      [24, -24],
      [-24, -24],
    ] as const) {
      expect(grayAt(x, y)).toBeLessThan(80);
      expect(grayAt(1.08 * x, 1.08 * y)).toBeGreaterThan(200);
    }
    // Card 0 begins with the bits 110100.
    const cell = 6.25;
    const row = [0, 1, 2, 3, 4, 5].map((k) =>
      grayAt(-25 + cell * (k + 1.5), 25 - 1.5 * cell) > 128 ? '1' : '0',
    );
    expect(row.join('')).toBe('110100');
  });

  it('puts edges where they are to a quarter of a millimetre', () => {
    const column = (y: number): number => {
      let x = -27;
      while (grayAt(x, y) > 128) x += 0.05;
      return x;
    };
    for (const y of [-15, -5, 10, 20]) expect(column(y)).toBeCloseTo(-25, 0);
    for (const y of [-15, -5, 10, 20]) expect(Math.abs(column(y) + 25)).toBeLessThan(0.3);
  });

  it('is clear where the photo shows nothing', () => {
    const away = flattenedView(photo, camera, { minX: 900, minY: 900, maxX: 910, maxY: 910 }, 2, 0);
    expect(away.data.every((value) => value === 0)).toBe(true);
  });

  it('refuses an empty area and one that would fill the memory', () => {
    expect(() => flattenedView(photo, camera, { ...AREA, maxX: -60 }, 4)).toThrow('cannot draw');
    expect(() => flattenedView(photo, camera, AREA, 100)).toThrow('cannot draw');
  });
});
