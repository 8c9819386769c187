/** Finds square markers of the dictionary ARUCO_MIP_36h12: ids and rough corners. */
import { asError, type Vision } from './opencv.ts';
import type { Raster } from './raster.ts';

/** A place in the picture, px: the geometry room's ImagePoint, which this room may not import. */
interface ImagePoint {
  readonly u: number;
  readonly v: number;
}

export interface Marker {
  readonly id: number;
  /** Corners of the black square as printed upright: top left, top right, bottom right, bottom left. Within a few px. */
  readonly cornersPx: readonly [ImagePoint, ImagePoint, ImagePoint, ImagePoint];
}

/**
 * The looks: long side of the reduced picture, and the smallest and largest window of the threshold, px. The smallest
 * window draws the contours of all fine texture, which takes half of the time; big markers don't need it.
 */
const LOOKS: readonly { readonly longSidePx: number; readonly windowsPx: readonly [number, number] }[] = [
  { longSidePx: 1000, windowsPx: [13, 23] },
  { longSidePx: 1400, windowsPx: [3, 23] },
  { longSidePx: 4100, windowsPx: [3, 23] },
];
/** Fewer markers than this earn a closer look. */
const FEW = 4;
/** So does a marker this small, px of the reduced picture: a card further off would have been too small to read. */
const SMALL_PX = 36;

export interface GrayPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/**
 * Green channel shrunk by a whole factor. Plain code, since a 50 MP photo copied into the engine's heap as it is
 * would take a fifth of it. Green carries most of the light and print is black and white. Each pixel is the mean of
 * up to four of the factor x factor that it covers, placed evenly about its centre: a marker's cells are many pixels
 * wide, so all of them would only take longer.
 */
export function shrunkGreen(photo: Raster, factor: number): GrayPicture {
  const width = Math.floor(photo.width / factor);
  const height = Math.floor(photo.height / factor);
  const data = new Uint8Array(width * height);
  const source = photo.data;
  const near = factor >> 2;
  const right = (factor - 1 - 2 * near) * 4;
  const down = (factor - 1 - 2 * near) * photo.width * 4;
  for (let row = 0, to = 0; row < height; row++) {
    let at = ((row * factor + near) * photo.width + near) * 4 + 1;
    for (let column = 0; column < width; column++, at += 4 * factor) {
      const sum = source[at]! + source[at + right]! + source[at + down]! + source[at + right + down]!;
      data[to++] = (sum + 2) >> 2;
    }
  }
  return { width, height, data };
}

/** Markers of a gray picture, corners in that picture's pixels; `windowsPx` are the thresholds' smallest and largest. */
function detect(
  { cv }: Vision,
  gray: GrayPicture,
  windowsPx: readonly [number, number],
): { id: number; corners: ImagePoint[] }[] {
  using image = new cv.Mat(gray.height, gray.width, cv.CV_8UC1);
  image.data.set(gray.data);
  using dictionary = cv.getPredefinedDictionary(cv.DICT_ARUCO_MIP_36h12);
  using parameters = new cv.aruco_DetectorParameters();
  [parameters.adaptiveThreshWinSizeMin, parameters.adaptiveThreshWinSizeMax] = windowsPx;
  using refining = new cv.aruco_RefineParameters(10, 3, true);
  using detector = new cv.aruco_ArucoDetector(dictionary, parameters, refining);
  using corners = new cv.MatVector();
  using ids = new cv.Mat();
  detector.detectMarkers(image, corners, ids);
  return Array.from({ length: corners.size() }, (_, index) => {
    using quad = corners.get(index);
    const uv = quad.data32F;
    return {
      id: ids.data32S[index]!,
      corners: [0, 2, 4, 6].map((k) => ({ u: uv[k]!, v: uv[k + 1]! })),
    };
  });
}

/** Markers with an id below `idCount`, corners in the photo's pixels, looked for in a picture reduced by `factor`. */
function look(
  vision: Vision,
  photo: Raster,
  factor: number,
  windowsPx: readonly [number, number],
  idCount: number,
): Marker[] {
  // Pixel k of the shrunk picture covers factor pixels, so its centre lies at factor (k + 1/2) - 1/2.
  const back = (value: number): number => factor * (value + 0.5) - 0.5;
  return detect(vision, shrunkGreen(photo, factor), windowsPx)
    .filter(({ id }) => id < idCount)
    .map(({ id, corners }) => {
      const [a, b, c, d] = corners.map(({ u, v }) => ({ u: back(u), v: back(v) }));
      return { id, cornersPx: [a!, b!, c!, d!] };
    });
}

const centreOf = ({ cornersPx: [a, , c] }: Marker): ImagePoint => ({
  u: (a.u + c.u) / 2,
  v: (a.v + c.v) / 2,
});
const sizeOf = ({ cornersPx: [a, , c] }: Marker): number => Math.hypot(a.u - c.u, a.v - c.v);

/** True when both are sightings of one square. */
function isSameSquare(a: Marker, b: Marker): boolean {
  const [p, q] = [centreOf(a), centreOf(b)];
  return Math.hypot(p.u - q.u, p.v - q.v) < 0.3 * Math.max(sizeOf(a), sizeOf(b));
}

/** True when a look at this size may have missed a marker that a closer one would find. */
function wantsCloserLook(found: readonly Marker[], factor: number): boolean {
  return found.length < FEW || found.some((marker) => sizeOf(marker) < SMALL_PX * Math.SQRT2 * factor);
}

/**
 * All markers of a photo with ids 0 .. `idCount` - 1, ordered by id; others are none of ours. The same id may
 * come more than once when two such squares lie in the picture. Looks at a much reduced size first and closer,
 * at up to 12 MP, as long as few or only small ones are found.
 */
export function findMarkers(vision: Vision, photo: Raster, idCount: number): readonly Marker[] {
  const longSide = Math.max(photo.width, photo.height);
  const found: Marker[] = [];
  let before = Number.POSITIVE_INFINITY;
  try {
    for (const { longSidePx, windowsPx } of LOOKS) {
      const factor = Math.max(1, Math.round(longSide / longSidePx));
      if (factor === before) continue;
      if (before !== Number.POSITIVE_INFINITY && !wantsCloserLook(found, before)) break;
      for (const marker of look(vision, photo, factor, windowsPx, idCount)) {
        if (!found.some((known) => isSameSquare(known, marker))) found.push(marker);
      }
      before = factor;
    }
    return found.sort((a, b) => a.id - b.id);
  } catch (thrown) {
    throw asError(vision, thrown);
  }
}
