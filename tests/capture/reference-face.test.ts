/** What makes four sides in a photo a card: a face of its own, and the wall of its edge beside it. */
import { describe, expect, it } from 'vitest';
import { principalPoint } from '../../src/capture/camera.ts';
import { hasOwnFace } from '../../src/capture/reference-face.ts';
import { footOf } from '../../src/capture/reference-wall.ts';
import { BANK_CARD, shapeCorners } from '../../src/capture/reference-shapes.ts';
import type { Raster } from '../../src/vision/raster.ts';
import { captureScene } from '../simulator/captures.ts';
import { project } from '../simulator/lens.ts';

const FRAME = { region: 'A4', cardCount: 4, megapixels: 3, tiltDeg: 20, unmodelled: false } as const;

/** A picture by its tone at each pixel, grey. */
function drawn(width: number, height: number, toneAt: (u: number, v: number) => number): Raster {
  const data = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let v = 0; v < height; v++)
    for (let u = 0; u < width; u++) data.fill(toneAt(u, v), 4 * (v * width + u), 4 * (v * width + u) + 3);
  return { width, height, data };
}

describe('a face of its own', () => {
  const mat = (u: number, v: number): number => (Math.min((u + 2) % 40, (v + 2) % 40) < 4 ? 220 : 90);
  const outline = (left: number, top: number, width: number, height: number) => ({
    cornersPx: [
      { u: left, v: top },
      { u: left + width, v: top },
      { u: left + width, v: top + height },
      { u: left, v: top + height },
    ],
  });

  it('has a card that lies on a cutting mat, in its own tone', () => {
    const [left, top, width, height] = [150, 110, 257, 162];
    const isCard = (u: number, v: number): boolean =>
      u > left && u < left + width && v > top && v < top + height;
    const photo = drawn(600, 400, (u, v) => (isCard(u, v) ? 40 : mat(u, v)));
    expect(hasOwnFace(photo, BANK_CARD, outline(left, top, width, height))).toBe(true);
  });

  it('no figure of the mat has: three cells by two, its sides from inside their lines to outside of them', () => {
    const photo = drawn(600, 400, mat);
    for (let out = -8; out <= 8; out += 0.5) {
      const figure = outline(200 - out, 160 - out, 120 + 2 * out, 80 + 2 * out);
      expect(hasOwnFace(photo, BANK_CARD, figure), `${out} px outside the lines`).toBe(false);
    }
  });
});

describe("the wall of a card's edge", () => {
  it.each([0, 10, 25])('its foot shows where the simulator puts it (tilt %i°)', (tiltDeg) => {
    const { camera } = captureScene(5, { ...FRAME, tiltDeg });
    const at = shapeCorners(BANK_CARD);
    const seen = (heightMm: number) =>
      at.map(({ x, y }) => {
        const { u, v } = project({ ...camera, k1: 0, k2: 0 }, x + 60, y - 40, heightMm);
        return { u, v };
      });
    const face = seen(0.76);
    const foot = footOf(
      at.map((point, i) => ({ at: point, seen: face[i]! })),
      0.76,
      { focalPx: camera.focalPx, centre: principalPoint(camera) },
    )!;
    seen(0).forEach(({ u, v }, i) => {
      const shown = foot(at[i]!);
      expect(Math.hypot(shown.u - u, shown.v - v)).toBeLessThan(0.02);
    });
  });
});
