import { describe, expect, it } from 'vitest';
import { cameraInFrame, matrixProduct, rotationOf } from '../../src/capture/camera-parameters.ts';
import { planeToImage } from '../../src/capture/camera.ts';
import { applyHomography, fitHomography, homographySlope } from '../../src/capture/homography.ts';
import { choleskyFactor, choleskySolve, symmetricInverse } from '../../src/capture/linear-algebra.ts';
import { planePoses } from '../../src/capture/plane-pose.ts';
import { focalPriors } from '../../src/capture/priors.ts';
import { cameraOver } from './card-renderer.ts';

describe('small symmetric systems', () => {
  it("invert the 3 x 3 Hilbert matrix to its known integers (Choi, 'Tricks or treats with the Hilbert matrix', 1983)", () => {
    const hilbert = Float64Array.from({ length: 9 }, (_, k) => 1 / (Math.floor(k / 3) + (k % 3) + 1));
    const inverse = symmetricInverse(hilbert, 3)!;
    [9, -36, 30, -36, 192, -180, 30, -180, 180].forEach((value, k) =>
      expect(inverse[k]).toBeCloseTo(value, 8),
    );
  });

  it('invert across twenty powers of ten between unknowns', () => {
    const scale = [1e-10, 1, 1e10];
    const matrix = Float64Array.from(
      [4, 1, 1, 1, 3, 1, 1, 1, 2],
      (v, k) => v * scale[Math.floor(k / 3)]! * scale[k % 3]!,
    );
    const inverse = symmetricInverse(matrix, 3)!;
    const product = matrixProduct([...matrix], [...inverse]);
    product.forEach((v, k) => {
      const unit = scale[Math.floor(k / 3)]! / scale[k % 3]!;
      expect(v / unit).toBeCloseTo(k % 4 === 0 ? 1 : 0, 8);
    });
  });

  it('solve, and refuse what is not positive definite', () => {
    const factor = choleskyFactor(Float64Array.from([4, 2, 2, 3]), 2)!;
    const [x, y] = choleskySolve(factor, 2, [8, 7]);
    expect(x).toBeCloseTo(1.25, 12);
    expect(y).toBeCloseTo(1.5, 12);
    expect(choleskyFactor(Float64Array.from([1, 2, 2, 1]), 2)).toBeUndefined();
    expect(choleskyFactor(Float64Array.from([Number.NaN]), 1)).toBeUndefined();
    expect(symmetricInverse(Float64Array.from([0, 0, 0, 1]), 2)).toBeUndefined();
  });
});

describe('rotations', () => {
  it('are proper at any size of the vector, tiny ones too', () => {
    for (const size of [0, 1e-9, 1e-5, 0.3, 3, 7]) {
      const r = rotationOf(0.6 * size, -0.48 * size, 0.64 * size);
      const transposed = [0, 3, 6, 1, 4, 7, 2, 5, 8].map((k) => r[k]!);
      matrixProduct(r, transposed).forEach((v, k) => expect(v).toBeCloseTo(k % 4 === 0 ? 1 : 0, 12));
      expect(r[0]! + r[4]! + r[8]!).toBeCloseTo(1 + 2 * Math.cos(size), 12);
    }
  });

  it('of the world frame leave every point in the picture where it was', () => {
    const camera = cameraOver({
      widthPx: 4000,
      heightPx: 3000,
      focalPx: 2900,
      distanceMm: 600,
      tiltRad: 0.4,
      rollRad: 1,
      k1: 0.03,
    });
    const moved = cameraInFrame(camera, 30, -20, 0.7);
    for (const point of [
      { x: 100, y: 50 },
      { x: -40, y: 200 },
    ]) {
      const [dx, dy] = [point.x - 30, point.y + 20];
      const there = {
        x: Math.cos(0.7) * dx + Math.sin(0.7) * dy,
        y: Math.cos(0.7) * dy - Math.sin(0.7) * dx,
      };
      const [a, b] = [planeToImage(camera, point, 5), planeToImage(moved, there, 5)];
      expect(b.u).toBeCloseTo(a.u, 8);
      expect(b.v).toBeCloseTo(a.v, 8);
    }
  });
});

describe('a homography', () => {
  const truth = [3, 0.4, 500, -0.3, -2.8, 400, 1e-3, -2e-3, 1];
  const square = [
    { x: -25, y: 25 },
    { x: 25, y: 25 },
    { x: 25, y: -25 },
    { x: -25, y: -25 },
  ];

  it('is found exactly from four corners, and its slope agrees with differences', () => {
    const found = fitHomography(square.map((at) => ({ at, seen: applyHomography(truth, at) })))!;
    found.forEach((value, k) => expect(value).toBeCloseTo(truth[k]!, 7));
    const at = { x: 33, y: -33 };
    const [a, b] = [
      applyHomography(found, { x: 33.001, y: -33 }),
      applyHomography(found, { x: 32.999, y: -33 }),
    ];
    expect(homographySlope(found, at)[0]).toBeCloseTo((a.u - b.u) / 0.002, 6);
    expect(homographySlope(found, at)[2]).toBeCloseTo((a.v - b.v) / 0.002, 6);
  });

  it('is refused for points on a line', () => {
    const line = [0, 1, 2, 3].map((k) => ({ at: { x: k, y: k }, seen: { u: k, v: k } }));
    expect(fitHomography(line)).toBeUndefined();
  });
});

describe('the two poses of a flat target', () => {
  it.each([0.02, 0.3, 0.8])('hold the true one at a tilt of %s rad', (tilt) => {
    const camera = cameraOver({
      widthPx: 4000,
      heightPx: 3000,
      focalPx: 2900,
      distanceMm: 500,
      tiltRad: tilt,
      azimuthRad: 1,
      rollRad: 2,
      target: { x: 90, y: -40 },
    });
    const sightings = [-33, 33].flatMap((x) =>
      [-33, 33].map((y) => {
        const { u, v } = planeToImage(camera, { x, y });
        return { at: { x, y }, direction: [(u - 1999.5) / 2900, (v - 1499.5) / 2900] as const };
      }),
    );
    const poses = planePoses(sightings);
    expect(poses).toHaveLength(2);
    const off = poses.map(({ centreMm }) => Math.hypot(...centreMm.map((v, k) => v - camera.centreMm[k]!)));
    expect(Math.min(...off)).toBeLessThan(1e-3);
    // The other is its mirror image in the line of sight, farther away the more the camera tilts.
    if (tilt > 0.1) expect(Math.max(...off)).toBeGreaterThan(100);
  });
});

describe("EXIF's 35 mm equivalent", () => {
  it('is read by width and by diagonal: 26 mm on 4032 x 3024 is 2912 or 3028 px', () => {
    // 26 * 4032 / 36 and 26 * 5040 / 43.2666 (CIPA DC-008 names the field; both readings are in use).
    expect(
      focalPriors({ focalLength35Mm: 26 }, 4032, 3024).map(({ focalPx }) => Math.round(focalPx)),
    ).toEqual([2912, 3029]);
  });

  it('agrees both ways on a 3:2 picture, and turns with the phone', () => {
    const [byWidth, byDiagonal] = focalPriors({ focalLength35Mm: 50 }, 6000, 4000);
    expect(byWidth!.focalPx).toBeCloseTo(byDiagonal!.focalPx, 6);
    expect(focalPriors({ focalLength35Mm: 26 }, 3024, 4032)).toEqual(
      focalPriors({ focalLength35Mm: 26 }, 4032, 3024),
    );
  });

  it('when absent leaves one wide belief', () => {
    const [only, ...others] = focalPriors({}, 4032, 3024);
    expect(others).toEqual([]);
    expect(only!.sigma).toBeGreaterThan(0.2);
  });
});
