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

/** The first look happens at about this size, the second at up to the other one (long side, px). */
const FIRST_LOOK_PX = 1400;
const SECOND_LOOK_PX = 4100;
/** Fewer markers than this earn a second look. */
const FEW = 4;

interface GrayPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/**
 * Green channel shrunk by a whole factor, each pixel the mean of factor x factor. Plain code, since a 50 MP
 * photo copied into the engine's heap as it is would take a fifth of it. Green carries most of the light and
 * print is black and white.
 */
function shrunkGreen(photo: Raster, factor: number): GrayPicture {
  const width = Math.floor(photo.width / factor);
  const height = Math.floor(photo.height / factor);
  const data = new Uint8Array(width * height);
  const sums = new Uint32Array(width);
  const share = 1 / (factor * factor);
  for (let row = 0; row < height; row++) {
    sums.fill(0);
    for (let inner = 0; inner < factor; inner++) {
      let from = (row * factor + inner) * photo.width * 4 + 1;
      for (let column = 0; column < width; column++) {
        let sum = 0;
        for (let k = 0; k < factor; k++, from += 4) sum += photo.data[from]!;
        sums[column]! += sum;
      }
    }
    for (let column = 0; column < width; column++) data[row * width + column] = sums[column]! * share + 0.5;
  }
  return { width, height, data };
}

/** Markers of a gray picture, corners in that picture's pixels. */
function detect({ cv }: Vision, gray: GrayPicture): { id: number; corners: ImagePoint[] }[] {
  using image = new cv.Mat(gray.height, gray.width, cv.CV_8UC1);
  image.data.set(gray.data);
  using dictionary = cv.getPredefinedDictionary(cv.DICT_ARUCO_MIP_36h12);
  using parameters = new cv.aruco_DetectorParameters();
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

/** Markers with an id below `idCount`, corners in the photo's pixels, looked for at a reduced size. */
function look(vision: Vision, photo: Raster, longSidePx: number, idCount: number): Marker[] {
  const factor = Math.max(1, Math.round(Math.max(photo.width, photo.height) / longSidePx));
  // Pixel k of the shrunk picture covers factor pixels, so its centre lies at factor (k + 1/2) - 1/2.
  const back = (value: number): number => factor * (value + 0.5) - 0.5;
  return detect(vision, shrunkGreen(photo, factor))
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

/**
 * All markers of a photo with ids 0 .. `idCount` - 1, ordered by id; others are none of ours. The same id may
 * come more than once when two such squares lie in the picture. Looks at a reduced size first and, when few
 * are found, once more at up to 12 MP.
 */
export function findMarkers(vision: Vision, photo: Raster, idCount: number): readonly Marker[] {
  try {
    const found = look(vision, photo, FIRST_LOOK_PX, idCount);
    const longSide = Math.max(photo.width, photo.height);
    if (found.length < FEW && Math.round(longSide / FIRST_LOOK_PX) > 1) {
      for (const marker of look(vision, photo, SECOND_LOOK_PX, idCount)) {
        if (!found.some((known) => isSameSquare(known, marker))) found.push(marker);
      }
    }
    return found.sort((a, b) => a.id - b.id);
  } catch (thrown) {
    throw asError(vision, thrown);
  }
}
