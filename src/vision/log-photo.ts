import type { Vision } from './opencv.ts';
import type { ReducedPhoto } from './reduce.ts';

/** Added to linear light before the logarithm, so that sensor noise in the dark stays small. */
const DARK_FLOOR = 0.004;
/** Steps of the 16-bit logarithm, in which opencv's median is quick. */
const LOG_STEPS = 65535 / Math.log((1 + DARK_FLOOR) / DARK_FLOOR);

/** Red, green and blue. */
export type Planes = readonly [Float32Array, Float32Array, Float32Array];

/** A box of a reduced photo, px: whole columns and rows from `left` and `top` on. */
export interface PixelBox {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/**
 * The logarithms of a reduced photo's red, green and blue, or of a box of it, each a median of medians over 3 x 3
 * pixels: specks and thin grain vanish, edges stay.
 */
export interface LogPhoto {
  readonly box: PixelBox;
  /** Size of the whole reduced photo, px. */
  readonly photoWidth: number;
  readonly photoHeight: number;
  readonly planes: Planes;
}

/** The logarithms of a whole reduced photo. */
export function logarithms({ cv }: Vision, photo: ReducedPhoto): LogPhoto {
  const { width, height } = photo;
  const table = Uint16Array.from({ length: 8192 }, (_, i) =>
    Math.round(LOG_STEPS * Math.log((i / 8191 + DARK_FLOOR) / DARK_FLOOR)),
  );
  using source = new cv.Mat(height, width, cv.CV_16UC1);
  using target = new cv.Mat();
  const take = (plane: Float32Array): Float32Array => {
    const coded = source.data16U;
    for (let i = 0; i < plane.length; i++) coded[i] = table[(plane[i]! * 8191 + 0.5) | 0]!;
    cv.medianBlur(source, target, 3);
    cv.medianBlur(target, source, 3);
    const smoothed = source.data16U;
    const logs = new Float32Array(plane.length);
    for (let i = 0; i < logs.length; i++) logs[i] = smoothed[i]! * (1 / LOG_STEPS);
    return logs;
  };
  return {
    box: { left: 0, top: 0, width, height },
    photoWidth: width,
    photoHeight: height,
    planes: [take(photo.red), take(photo.green), take(photo.blue)],
  };
}

/** A box of a plane that is `width` wide. */
export function cropPlane<Plane extends Float32Array | Uint8Array | Int32Array>(
  plane: Plane,
  width: number,
  box: PixelBox,
): Plane {
  const cropped = plane.slice(0, box.width * box.height) as Plane;
  for (let row = 0; row < box.height; row++) {
    const from = (box.top + row) * width + box.left;
    cropped.set(plane.subarray(from, from + box.width), row * box.width);
  }
  return cropped;
}

/** A box of a whole photo's logarithms. */
export function cropLogarithms({ photoWidth, photoHeight, planes }: LogPhoto, box: PixelBox): LogPhoto {
  const [red, green, blue] = planes;
  const crop = (plane: Float32Array): Float32Array => cropPlane(plane, photoWidth, box);
  return { box, photoWidth, photoHeight, planes: [crop(red), crop(green), crop(blue)] };
}
