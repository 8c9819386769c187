import { describe, expect, it } from 'vitest';
import { LINEAR_FROM_SRGB, type Raster } from '../../src/vision/raster.ts';
import { project, type SimCamera } from './lens.ts';
import { photograph } from './photograph.ts';
import { cameraAt, plainLens, type Pose } from './poses.ts';
import {
  CLEAN_PICTURE,
  emptyScene,
  EVEN_LIGHT,
  flatCard,
  PHONE_PICTURE,
  rectangleOutline,
  ROOM_LIGHT,
  table,
} from './presets.ts';
import { renderScene } from './render.ts';
import type { Scene, SimCard } from './scene.ts';
import { hourglassPoints, squareCorners } from './truth.ts';

const straight: Pose = { tiltRad: 0, azimuthRad: 0, rollRad: 0, target: { x: 0, y: 0 }, distanceMm: 400 };
const tilted: Pose = {
  tiltRad: 0.35,
  azimuthRad: 0.7,
  rollRad: 0.2,
  target: { x: 5, y: 3 },
  distanceMm: 380,
};
const lens = { ...plainLens(0.5), k1: 0.03, k3: 0.01, p1: 3e-4 };

const linear = (raster: Raster, u: number, v: number): number =>
  LINEAR_FROM_SRGB[raster.data[4 * (v * raster.width + u) + 1]!]!;

/** Light between pixels. */
function lightAt(raster: Raster, u: number, v: number): number {
  const [u0, v0] = [Math.floor(u), Math.floor(v)];
  const [s, t] = [u - u0, v - v0];
  const top = (1 - s) * linear(raster, u0, v0) + s * linear(raster, u0 + 1, v0);
  const bottom = (1 - s) * linear(raster, u0, v0 + 1) + s * linear(raster, u0 + 1, v0 + 1);
  return (1 - t) * top + t * bottom;
}

/**
 * Signed px from the true edge to the half-way crossing, along the way from `a` (dark) to `b` (bright).
 * The place comes from the light between the two ends: a step's area does not change with a symmetric blur.
 */
function crossingError(
  raster: Raster,
  camera: SimCamera,
  inside: readonly [number, number],
  outside: readonly [number, number],
  edge: readonly [number, number],
  z: number,
): number {
  const a = project(camera, outside[0], outside[1], z);
  const b = project(camera, inside[0], inside[1], z);
  const e = project(camera, edge[0], edge[1], z);
  const length = Math.hypot(b.u - a.u, b.v - a.v);
  const steps = 400;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const value = lightAt(raster, a.u + ((b.u - a.u) * i) / steps, a.v + ((b.v - a.v) * i) / steps);
    sum += value * (i === 0 || i === steps ? 0.5 : 1);
  }
  const [low, high] = [lightAt(raster, a.u, a.v), lightAt(raster, b.u, b.v)];
  const crossing = length * (1 - (sum / steps - low) / (high - low));
  return crossing - Math.hypot(e.u - a.u, e.v - a.v);
}

describe('edges of a rendered piece', () => {
  for (const [name, pose, blurSigmaPx, thicknessMm] of [
    ['square-on, sharp', straight, 0, 0],
    ['square-on, blurred', straight, 2, 0],
    ['tilted, through a distorting lens', tilted, 1.2, 0],
    ['thick, its top edge away from the camera', straight, 1, 8],
  ] as const) {
    it(`lie where projection puts them to 0.02 px: ${name}`, () => {
      const camera = cameraAt(lens, pose);
      const outer = rectangleOutline({ x: 0, y: 0 }, 161.3, 120.7, 0.13);
      const scene = emptyScene(camera, {
        mottle: 0,
        // A little noise: without it the rounding to bytes swallows the tails of the blur (0.03 px).
        picture: { ...CLEAN_PICTURE, blurSigmaPx, readNoise: 0.004 },
        // A lamp straight above and nothing else: no contact shadow beside a thick piece.
        light: { ...EVEN_LIGHT, ambient: 0, penumbra: 0 },
        table: { ...table('plain'), bright: [0.2, 0.2, 0.2], dark: [0.2, 0.2, 0.2] },
        // The wall is as dark as the table, so that only the top's edge is bright.
        pieces: [{ outer, holes: [], thicknessMm, color: [0.8, 0.8, 0.8], wallColor: [0.2, 0.2, 0.2] }],
      });
      const raster = renderScene(scene);
      const errors: number[] = [];
      for (let side = 0; side < 4; side++) {
        const [a, b] = [outer[side]!, outer[(side + 1) % 4]!];
        const length = Math.hypot(b.x - a.x, b.y - a.y);
        // Outward normal of a counter-clockwise outline.
        const [nx, ny] = [(b.y - a.y) / length, (a.x - b.x) / length];
        for (let i = 1; i < 40; i++) {
          const [x, y] = [a.x + ((b.x - a.x) * i) / 40, a.y + ((b.y - a.y) * i) / 40];
          const reach = 4;
          errors.push(
            crossingError(
              raster,
              camera,
              [x - reach * nx, y - reach * ny],
              [x + reach * nx, y + reach * ny],
              [x, y],
              thicknessMm,
            ),
          );
        }
      }
      const mean = errors.reduce((sum, e) => sum + e, 0) / errors.length;
      expect(Math.abs(mean)).toBeLessThan(0.01);
      const rms = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
      // One line of 12 px with that noise alone scatters by about 0.04 px.
      expect(rms).toBeLessThan(0.06);
    });
  }

  it('show a wall between top and foot where the side faces the camera, of the width that projection gives', () => {
    const camera = cameraAt(lens, { ...tilted, tiltRad: 0.6, azimuthRad: 0, rollRad: 0 });
    const outer = rectangleOutline({ x: 0, y: 0 }, 160, 110);
    const scene = emptyScene(camera, {
      picture: { ...CLEAN_PICTURE, blurSigmaPx: 0 },
      pieces: [{ outer, holes: [], thicknessMm: 12, color: [0.8, 0.8, 0.8], wallColor: [0.8, 0, 0] }],
    });
    const raster = renderScene(scene);
    // The camera looks towards +x from beyond the left end: the left wall (x = -80) faces it.
    expect(camera.centreMm[0]).toBeLessThan(-80);
    const top = project(camera, -80, 0, 12);
    const foot = project(camera, -80, 0, 0);
    const [du, dv] = [foot.u - top.u, foot.v - top.v];
    expect(Math.hypot(du, dv)).toBeGreaterThan(3);
    const redOnly = (share: number): boolean => {
      const i = 4 * (Math.round(top.v + share * dv) * raster.width + Math.round(top.u + share * du));
      return raster.data[i]! > 60 && raster.data[i + 1]! < 20;
    };
    expect(redOnly(0.5)).toBe(true);
    expect(redOnly(-0.4)).toBe(false);
    expect(redOnly(1.4)).toBe(false);
  });
});

/**
 * Centre about which the light is most nearly point-symmetric: an hourglass stays symmetric about its point under any
 * symmetric blur and any ink spread. Newton on the sum of squared differences over a disc.
 */
function symmetryCentre(raster: Raster, u: number, v: number, radius: number): { u: number; v: number } {
  const unlike = (cu: number, cv: number): number => {
    let sum = 0;
    for (let dv = 0; dv <= radius; dv += 0.5) {
      for (let du = -radius; du <= radius; du += 0.5) {
        if (du * du + dv * dv > radius * radius) continue;
        sum += (lightAt(raster, cu + du, cv + dv) - lightAt(raster, cu - du, cv - dv)) ** 2;
      }
    }
    return sum;
  };
  const h = 0.25;
  for (let round = 0; round < 4; round++) {
    const f = unlike(u, v);
    const [right, left, below, above] = [
      unlike(u + h, v),
      unlike(u - h, v),
      unlike(u, v + h),
      unlike(u, v - h),
    ];
    const gu = (right - left) / (2 * h);
    const gv = (below - above) / (2 * h);
    const huu = (right - 2 * f + left) / (h * h);
    const hvv = (below - 2 * f + above) / (h * h);
    const huv = (unlike(u + h, v + h) - right - below + f) / (h * h);
    const det = huu * hvv - huv * huv;
    [u, v] = [u - (hvv * gu - huv * gv) / det, v - (huu * gv - huv * gu) / det];
  }
  return { u, v };
}

describe('hourglass marks', () => {
  for (const [blurSigmaPx, inkSpreadMm] of [
    [0.7, 0],
    [1.5, 0.1],
    [2.5, -0.08],
  ] as const) {
    it(`have their saddle at the true point at blur ${blurSigmaPx} px and ink spread ${inkSpreadMm} mm`, () => {
      const camera = cameraAt({ ...plainLens(2), k1: 0.02 }, { ...tilted, distanceMm: 330 });
      const cards: SimCard[] = [
        flatCard({ id: 1, centre: { x: -60, y: -30 }, turnRad: 0.4 }, { inkSpreadMm }),
        flatCard({ id: 2, centre: { x: 60, y: 40 }, turnRad: -0.9 }, { inkSpreadMm }),
      ];
      const raster = renderScene(
        emptyScene(camera, {
          mottle: 0,
          cards,
          picture: { ...CLEAN_PICTURE, blurSigmaPx, readNoise: 0.002 },
        }),
      );
      const errors = cards.flatMap((card) =>
        hourglassPoints(card).map(({ x, y, z }) => {
          const place = project(camera, x, y, z);
          const seen = symmetryCentre(raster, place.u, place.v, 6);
          return { u: seen.u - place.u, v: seen.v - place.v };
        }),
      );
      const mean = (pick: (e: { u: number; v: number }) => number): number =>
        errors.reduce((sum, e) => sum + pick(e), 0) / errors.length;
      expect(
        Math.hypot(
          mean((e) => e.u),
          mean((e) => e.v),
        ),
      ).toBeLessThan(0.01);
      for (const e of errors) expect(Math.hypot(e.u, e.v)).toBeLessThan(0.03);
    });
  }

  it('lie where truth says on a curled card that is printed too large and leans on something', () => {
    const camera = cameraAt({ ...plainLens(2), k1: 0.02 }, { ...tilted, distanceMm: 300 });
    const card = flatCard(
      { id: 5, centre: { x: 10, y: 5 }, turnRad: 0.7 },
      {
        heightMm: 3,
        print: { across: 1.02, along: 0.98 },
        curl: { directionRad: 0.4, riseMm: 6, halfSpanMm: 40, slope: 0.1 },
      },
    );
    const raster = renderScene(
      emptyScene(camera, { mottle: 0, cards: [card], picture: { ...CLEAN_PICTURE, readNoise: 0.002 } }),
    );
    for (const { x, y, z } of hourglassPoints(card)) {
      const place = project(camera, x, y, z);
      const seen = symmetryCentre(raster, place.u, place.v, 4);
      expect(Math.hypot(seen.u - place.u, seen.v - place.v)).toBeLessThan(0.05);
    }
    // Paper keeps its lengths: the square's diagonal, summed along the curled face, is what was printed.
    const [a, , c] = squareCorners(card);
    const chord = Math.hypot(c!.x - a!.x, c!.y - a!.y, c!.z - a!.z);
    const printed = Math.hypot(50 * 1.02, 50 * 0.98);
    expect(chord).toBeLessThan(printed);
    expect(chord).toBeGreaterThan(printed - 1.5);
  });

  it('grow and shrink with the ink: the share of black follows the spread', () => {
    const camera = cameraAt(plainLens(1), { ...straight, distanceMm: 150 });
    const darkness = (inkSpreadMm: number): number => {
      const card = flatCard({ id: 3, centre: { x: 0, y: 0 }, turnRad: 0 }, { inkSpreadMm });
      const raster = renderScene(
        emptyScene(camera, { cards: [card], picture: { ...CLEAN_PICTURE, blurSigmaPx: 0 } }),
      );
      const a = project(camera, -40, 40, 0.1);
      const b = project(camera, 40, -40, 0.1);
      let [dark, all] = [0, 0];
      for (let v = Math.ceil(a.v) + 1; v < b.v - 1; v++) {
        for (let u = Math.ceil(a.u) + 1; u < b.u - 1; u++) {
          dark += linear(raster, u, v) < 0.3 ? 1 : 0;
          all += 1;
        }
      }
      return dark / all;
    };
    const [thin, even, fat] = [darkness(-0.2), darkness(0), darkness(0.2)];
    expect(thin).toBeLessThan(even);
    expect(even).toBeLessThan(fat);
  });
});

describe('a photo', () => {
  const scene = (changes: Partial<Scene>): Scene =>
    emptyScene(cameraAt(plainLens(0.5), tilted), {
      picture: PHONE_PICTURE,
      light: ROOM_LIGHT,
      table: table('wood'),
      cards: [flatCard({ id: 0, centre: { x: 30, y: 10 }, turnRad: 1 })],
      pieces: [
        {
          outer: rectangleOutline({ x: -60, y: 0 }, 70, 90),
          holes: [],
          thicknessMm: 6,
          color: [0.1, 0.2, 0.3],
        },
      ],
      ...changes,
    });

  it('comes out the same to the byte from the same seed, and otherwise from another', async () => {
    const first = await photograph(scene({ seed: 4 }));
    const again = await photograph(scene({ seed: 4 }));
    const other = await photograph(scene({ seed: 5 }));
    expect(Buffer.compare(Buffer.from(first.data), Buffer.from(again.data))).toBe(0);
    expect(Buffer.compare(Buffer.from(first.data), Buffer.from(other.data))).not.toBe(0);
  });

  it('has the noise that was asked for, on an even patch', () => {
    const picture = { ...CLEAN_PICTURE, blurSigmaPx: 3, shotNoise: 4e-4, readNoise: 0.004, exposure: 1 };
    const even = { ...table('plain'), dark: [0.3, 0.3, 0.3], bright: [0.3, 0.3, 0.3] } as const;
    const raster = renderScene(emptyScene(cameraAt(plainLens(0.5), straight), { picture, table: even }));
    const values: number[] = [];
    for (let v = 100; v < 300; v++) for (let u = 100; u < 300; u++) values.push(linear(raster, u, v));
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const sigma = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    expect(mean).toBeCloseTo(0.3, 2);
    const expected = Math.sqrt(0.004 ** 2 + 4e-4 * 0.3);
    expect(sigma / expected).toBeGreaterThan(0.95);
    expect(sigma / expected).toBeLessThan(1.1);
  });

  it('spreads a point of light as long as the shake, and keeps the light', () => {
    const dot = rectangleOutline({ x: 0, y: 0 }, 0.5, 0.5);
    const render = (motionPx?: { u: number; v: number }): Raster =>
      renderScene(
        emptyScene(cameraAt(plainLens(0.5), straight), {
          mottle: 0,
          picture: { ...CLEAN_PICTURE, blurSigmaPx: 0.5, ...(motionPx && { motionPx }) },
          table: { ...table('plain'), dark: [0.02, 0.02, 0.02], bright: [0.02, 0.02, 0.02] },
          pieces: [{ outer: dot, holes: [], thicknessMm: 0, color: [0.9, 0.9, 0.9] }],
        }),
      );
    const moments = (raster: Raster): { sum: number; varU: number; varV: number } => {
      let [sum, u1, u2, v1, v2] = [0, 0, 0, 0, 0];
      const floor = linear(raster, 10, 10);
      for (let v = 270; v < 345; v++) {
        for (let u = 370; u < 450; u++) {
          const w = Math.max(0, linear(raster, u, v) - floor * 1.03);
          sum += w;
          u1 += w * u;
          u2 += w * u * u;
          v1 += w * v;
          v2 += w * v * v;
        }
      }
      return { sum, varU: u2 / sum - (u1 / sum) ** 2, varV: v2 / sum - (v1 / sum) ** 2 };
    };
    const still = moments(render());
    const shaken = moments(render({ u: 12, v: 0 }));
    // A straight spread of length L adds L^2 / 12 to the variance along it (uniform distribution).
    expect(shaken.varU - still.varU).toBeGreaterThan(0.85 * 12);
    expect(shaken.varU - still.varU).toBeLessThan(1.1 * 12);
    expect(Math.abs(shaken.varV - still.varV)).toBeLessThan(0.3);
    expect(shaken.sum / still.sum).toBeGreaterThan(0.9);
  });
});
