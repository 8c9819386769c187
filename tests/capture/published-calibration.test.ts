/**
 * The camera model against a published calibration of a real camera: Z. Zhang, "A Flexible New Technique for Camera
 * Calibration" (Microsoft Research, MSR-TR-98-71; data and result files of that page: a plane of 8 x 8 squares,
 * 640 x 480 px, strong radial distortion). The published result fits its 1280 corners to 0.335 px RMS (table 1).
 */
import { describe, expect, it } from 'vitest';
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import { applyHomography, fitHomography } from '../../src/capture/homography.ts';
import type { ImagePoint, PlanePoint } from '../../src/geometry/point.ts';

const INCH_MM = 25.4;
const SQUARE_IN = 0.5;
/** Eight squares across 6.7222 in. */
const PITCH_IN = 8 / 9;

/** Published rotation and translation (inches) of three views, and the first three squares as seen in each. */
const VIEWS = [
  {
    rotation: [0.992759, -0.026319, 0.117201, 0.0139247, 0.994339, 0.105341, -0.11931, -0.102947, 0.987505],
    shiftIn: [-3.84019, 3.65164, 12.791],
    seen: [
      [
        63.43921044, 405.57679767, 92.46270142, 407.45565391, 91.80636572, 438.65765085, 62.58724664,
        436.28844212,
      ],
      [
        116.2803553, 409.17858333, 146.4502701, 410.92321756, 145.61153657, 442.55885392, 115.46212892,
        440.29014483,
      ],
      [
        170.8326967, 412.46038131, 201.84874168, 414.36697339, 201.07282343, 446.17868006, 169.96948548,
        444.04210827,
      ],
    ],
  },
  {
    rotation: [
      0.997397, -0.00482564, 0.0719419, 0.0175608, 0.983971, -0.17746, -0.0699324, 0.178262, 0.981495,
    ],
    shiftIn: [-3.71693, 3.76928, 13.1974],
    seen: [
      [
        74.95173738, 409.09267758, 104.3125978, 410.82633224, 106.06048939, 438.70991137, 77.00428944,
        436.94253845,
      ],
      [
        127.82252064, 412.20419302, 157.94718654, 413.67065975, 159.23134691, 442.01259234, 129.46397452,
        439.99858857,
      ],
      [
        181.84295543, 414.98756134, 212.7011236, 416.54331784, 213.47114738, 444.74474123, 183.11454543,
        443.22785348,
      ],
    ],
  },
  {
    rotation: [
      0.915213, -0.0356648, 0.401389, -0.00807547, 0.994252, 0.106756, -0.402889, -0.100946, 0.909665,
    ],
    shiftIn: [-2.94409, 3.77653, 14.2456],
    seen: [
      [
        137.22826265, 394.36338179, 160.18794355, 397.09745384, 159.3473041, 425.12927321, 136.29854255,
        421.95770763,
      ],
      [
        180.16912539, 399.38087292, 204.86292901, 402.06267558, 203.726757, 431.01683243, 179.18487675,
        427.7359115,
      ],
      [
        225.751043, 404.36300666, 251.92825011, 407.17957914, 250.96538075, 436.94231144, 224.62836506,
        433.54478633,
      ],
    ],
  },
] as const;

type View = (typeof VIEWS)[number];

/** The published intrinsics (alpha 832.50, beta 832.53; the skew of 0.2 px is not in our model). */
function cameraOf({ rotation: r, shiftIn }: View): Camera {
  const t = shiftIn.map((value) => value * INCH_MM);
  const centre = (i: number): number => -(r[i]! * t[0]! + r[3 + i]! * t[1]! + r[6 + i]! * t[2]!);
  return {
    widthPx: 640,
    heightPx: 480,
    focalPx: 832.515,
    offsetUPx: 303.959 - 639 / 2,
    offsetVPx: 206.585 - 479 / 2,
    k1: -0.228601,
    k2: 0.190353,
    rotation: r,
    centreMm: [centre(0), centre(1), centre(2)],
  };
}

/** Corners of the squares in the files' order: far left, far right, near right, near left. */
function cornersOf({ seen }: View): readonly { readonly at: PlanePoint; readonly seen: ImagePoint }[] {
  return seen.flatMap((numbers, square) => {
    const left = square * PITCH_IN;
    const places = [
      [left, -SQUARE_IN],
      [left + SQUARE_IN, -SQUARE_IN],
      [left + SQUARE_IN, 0],
      [left, 0],
    ] as const;
    return places.map(([x, y], k) => ({
      at: { x: x * INCH_MM, y: y * INCH_MM },
      seen: { u: numbers[2 * k]!, v: numbers[2 * k + 1]! },
    }));
  });
}

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

describe("a published calibration (Zhang's plane)", () => {
  it('puts its corners where the photos showed them, as closely as published', () => {
    const misses = VIEWS.flatMap((view) => {
      const camera = cameraOf(view);
      return cornersOf(view).flatMap(({ at, seen }) => {
        const { u, v } = planeToImage(camera, at);
        return [u - seen.u, v - seen.v];
      });
    });
    expect(misses).toHaveLength(72);
    // 0.335 px RMS over both coordinates of a corner.
    expect(Math.SQRT2 * rms(misses)).toBeLessThan(0.45);
    expect(Math.max(...misses.map(Math.abs))).toBeLessThan(0.8);
  });

  it('needs the distortion that was published: without it, corners near the border are pixels off', () => {
    const view = VIEWS[0];
    const straight = { ...cameraOf(view), k1: 0, k2: 0 };
    const misses = cornersOf(view).flatMap(({ at, seen }) => {
      const { u, v } = planeToImage(straight, at);
      return [u - seen.u, v - seen.v];
    });
    expect(rms(misses)).toBeGreaterThan(3);
  });

  it('measures the squares in the photos to less than a pixel, pulled inward as corners of dark squares are', () => {
    for (const view of VIEWS) {
      const camera = cameraOf(view);
      const laid = cornersOf(view).map(({ seen }) => imageToPlane(camera, seen));
      const sides = [0, 4, 8].flatMap((first) =>
        [0, 1, 2, 3].map((k) => {
          const [a, b] = [laid[first + k]!, laid[first + ((k + 1) % 4)]!];
          return Math.hypot(a.x - b.x, a.y - b.y) - SQUARE_IN * INCH_MM;
        }),
      );
      const pixelMm = (view.shiftIn[2] * INCH_MM) / camera.focalPx;
      expect(rms(sides)).toBeLessThan(pixelMm);
      // None is measured longer: it is the corners that move, not the camera's scale that is off both ways.
      expect(Math.max(...sides)).toBeLessThan(0.05);
    }
  });

  it('agrees with a homography fitted to the corners of one view', () => {
    for (const view of VIEWS) {
      const corners = cornersOf(view);
      const homography = fitHomography(corners)!;
      const misses = corners.flatMap(({ at, seen }) => {
        const { u, v } = applyHomography(homography, at);
        return [u - seen.u, v - seen.v];
      });
      // Distortion bends little over three squares.
      expect(rms(misses)).toBeLessThan(0.3);
    }
  });
});
