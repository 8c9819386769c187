/** What makes four sides in a photo a card: a face of its own, and the wall of its edge beside it. */
import { describe, expect, it } from 'vitest';
import { principalPoint } from '../../src/capture/camera.ts';
import { hasOwnFace } from '../../src/capture/reference-face.ts';
import { footOf } from '../../src/capture/reference-wall.ts';
import { BANK_CARD, shapeCorners } from '../../src/capture/reference-shapes.ts';
import { errorFunction } from '../../src/capture/saddle.ts';
import { fitStep } from '../../src/capture/step-fit.ts';
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

  it('does not move the place of a step that it stands beside', () => {
    const [place, widthPx, blurPx] = [0.37, 1.6, 1.1];
    const past = (x: number): number => {
      const z = x / (Math.SQRT2 * blurPx);
      return 0.5 + 0.5 * errorFunction(z, Math.exp(-z * z));
    };
    // A dark face, a light wall, a table between the two.
    const [face, wall, ground] = [0.02, 0.4, 0.15];
    const values = Float64Array.from({ length: 65 }, (_, k) => {
      const x = k * 0.5 - 16 - place;
      return face + (wall - face) * past(x) + (ground - wall) * past(x - widthPx);
    });
    const profile = { values, stepPx: 0.5, reachPx: 16 };
    const aware = fitStep(profile, 0, 4, blurPx, { widthPx, level: wall })!;
    expect(Math.abs(aware.place - place)).toBeLessThan(0.02);
    expect(aware.step).toBeCloseTo(ground - face, 2);
    const unaware = fitStep(profile, 0, 4, blurPx);
    expect(unaware === undefined || Math.abs(unaware.place - place) > 0.3).toBe(true);
  });
});
