/** Hourglass marks anywhere in a photo whose camera is known: what is left to see of cards that could not be read. */
import { median } from '../geometry/median.ts';
import type { ImagePoint, PlanePoint } from '../geometry/point.ts';
import { type GrayPicture, shrunkGreen } from '../vision/markers.ts';
import type { Raster } from '../vision/raster.ts';
import { type Camera, imageToPlane, planeToImage } from './camera.ts';
import { CARD_FACE_HEIGHT_MM } from './card.ts';
import type { LocalAffine } from './homography.ts';
import { lightAt } from './light.ts';
import { fitSaddle } from './saddle.ts';

export interface LoneMark {
  /** Where it lies on the table, mm. */
  readonly at: PlanePoint;
  /** Turn of its card, rad, but for half a turn. */
  readonly turnRad: number;
  /** Light of its paper and ink. */
  readonly paper: number;
  readonly ink: number;
}

/** A mark is felt for on a ring of this radius, mm: well inside its quarter discs. */
const RING_MM = 3;
/** The ring's radius in the reduced picture, px, at least. */
const RING_PX = 4;
const RING_PLACES = 16;
/** A mark's response is several reduced px wide: every other px of every other row finds it, and its neighbours its middle. */
const STRIDE = 2;
/** Grey levels by which a place must look like a mark, where no mark is known. */
const LEAST_LEVEL = 120;
/** Print of one printer in one light: a mark is at least this share as strong as the marks of the cards that were read. */
const KNOWN_SHARE = 0.4;
/** Either of two crosses of the ring shows this share of what all of it shows, however the mark is turned. */
const FIRST_SHARE = 0.4;
/** The strongest places are looked at closely; more of them only a table full of checks has. */
const MOST_PLACES = 48;
/** Places nearer to each other than this, reduced px, are one. */
const APART_PX = 4;

/** Share of a ring's unevenness that the second harmonic is; of a mark's square wave it is 8 / pi^2. */
const LEAST_HARMONIC = 0.6;

interface Place extends ImagePoint {
  readonly level: number;
}

/**
 * How much a place is the middle of a mark: opposite sides of a ring are alike and those a quarter turn on are not (the
 * response of Bennett & Lasenby, "ChESS: Quick and Robust Detection of Chess-board Features", CVIU 118, 2014, without
 * its mean term, since a mark's discs are two quarters only).
 */
class Ring {
  readonly margin: number;
  readonly #picture: GrayPicture;
  /** How far on in the picture's data each place of the ring lies, a quarter turn every fourth. */
  readonly #offsets: Int32Array;

  constructor(picture: GrayPicture, radius: number) {
    this.#picture = picture;
    this.margin = Math.ceil(radius) + 1;
    this.#offsets = new Int32Array(RING_PLACES);
    for (let k = 0; k < RING_PLACES; k++) {
      const angle = (2 * Math.PI * k) / RING_PLACES;
      this.#offsets[k] =
        Math.round(radius * Math.sin(angle)) * picture.width + Math.round(radius * Math.cos(angle));
    }
  }

  /** Response at a place of the picture's data. */
  #levelAt(at: number): number {
    const { data } = this.#picture;
    const offsets = this.#offsets;
    let level = 0;
    for (let k = 0; k < 4; k++) {
      const [a, c] = [data[at + offsets[k]!]!, data[at + offsets[k + 8]!]!];
      const [b, d] = [data[at + offsets[k + 4]!]!, data[at + offsets[k + 12]!]!];
      level += Math.abs(a + c - b - d) - Math.abs(a - c) - Math.abs(b - d);
    }
    return level;
  }

  /** The strongest of a place and its eight neighbours. */
  near(column: number, row: number): Place {
    const { width } = this.#picture;
    let best = { u: column, v: row, level: Number.NEGATIVE_INFINITY };
    for (let v = row - 1; v <= row + 1; v++) {
      for (let u = column - 1; u <= column + 1; u++) {
        const level = this.#levelAt(v * width + u);
        if (level > best.level) best = { u, v, level };
      }
    }
    return best;
  }

  /** True where the whole ring of the place and of its neighbours lies in the picture. */
  fits({ u, v }: ImagePoint): boolean {
    const { width, height } = this.#picture;
    const { margin } = this;
    return u >= margin && v >= margin && u < width - margin && v < height - margin;
  }

  /** All places with more than the least response, the strongest first. */
  places(least: number): Place[] {
    const { width, height, data } = this.#picture;
    const [e, , ne, , n, , nw, , w, , sw, , s, , se] = this.#offsets;
    const first = FIRST_SHARE * least;
    const places: Place[] = [];
    for (let row = this.margin; row < height - this.margin; row += STRIDE) {
      const end = row * width + width - this.margin;
      for (let at = row * width + this.margin; at < end; at += STRIDE) {
        // Most places are told from a mark by eight of the ring's sixteen; no call, no store for those.
        const upright = data[at + e!]! + data[at + w!]! - data[at + n!]! - data[at + s!]!;
        const slanting = data[at + ne!]! + data[at + sw!]! - data[at + nw!]! - data[at + se!]!;
        if (Math.abs(upright) < first && Math.abs(slanting) < first) continue;
        if (this.#levelAt(at) > least) places.push(this.near(at - row * width, row));
      }
    }
    return places.sort((a, b) => b.level - a.level);
  }
}

/** Places in the photo's pixels, the strongest first, that look like marks as strong as the known ones and are none of those. */
function saddlePlaces(
  photo: Raster,
  pxPerMm: number,
  known: readonly ImagePoint[],
  isKnown: (at: ImagePoint) => boolean,
): readonly Place[] {
  const factor = Math.max(1, Math.floor((RING_MM * pxPerMm) / RING_PX));
  const ring = new Ring(shrunkGreen(photo, factor), (RING_MM * pxPerMm) / factor);
  const reduced = (value: number): number => Math.round((value + 0.5) / factor - 0.5);
  const levels = known
    .map(({ u, v }) => ({ u: reduced(u), v: reduced(v) }))
    .filter((at) => ring.fits(at))
    .map(({ u, v }) => ring.near(u, v).level);
  const least = Math.max(LEAST_LEVEL, KNOWN_SHARE * (levels.length > 0 ? median(levels) : 0));
  const back = (value: number): number => factor * (value + 0.5) - 0.5;
  const kept: Place[] = [];
  for (const { u, v, level } of ring.places(least)) {
    if (kept.length >= MOST_PLACES) break;
    const place = { u: back(u), v: back(v), level };
    const isApart = kept.every(
      (other) => Math.hypot(other.u - place.u, other.v - place.v) > APART_PX * factor,
    );
    if (isApart && !isKnown(place)) kept.push(place);
  }
  return kept;
}

/** Derivatives of the picture by a card's mm where it lies turned by `turnRad`. */
function slopeAt(camera: Camera, at: PlanePoint, turnRad: number): LocalAffine {
  const step = 0.5;
  const [c, s] = [step * Math.cos(turnRad), step * Math.sin(turnRad)];
  const shown = (x: number, y: number): ImagePoint =>
    planeToImage(camera, { x: at.x + x, y: at.y + y }, CARD_FACE_HEIGHT_MM);
  const [right, left, up, down] = [shown(c, s), shown(-c, -s), shown(-s, c), shown(s, -c)];
  const slope = (a: number, b: number): number => (a - b) / (2 * step);
  return [slope(right.u, left.u), slope(up.u, down.u), slope(right.v, left.v), slope(up.v, down.v)];
}

/**
 * Turn of a mark by the second harmonic of its ring on the table: dark half-way between its axes. Undefined where that is
 * not most of the ring, as at the crossing of two lines.
 */
function turnOf(photo: Raster, camera: Camera, at: PlanePoint): number | undefined {
  let [a, b, sum, squares] = [0, 0, 0, 0];
  for (let k = 0; k < RING_PLACES; k++) {
    const angle = (2 * Math.PI * k) / RING_PLACES;
    const { u, v } = planeToImage(
      camera,
      { x: at.x + RING_MM * Math.cos(angle), y: at.y + RING_MM * Math.sin(angle) },
      CARD_FACE_HEIGHT_MM,
    );
    const light = lightAt(photo, u, v);
    a += light * Math.cos(2 * angle);
    b += light * Math.sin(2 * angle);
    sum += light;
    squares += light * light;
  }
  const harmonic = (2 * (a * a + b * b)) / RING_PLACES;
  const all = squares - (sum * sum) / RING_PLACES;
  return harmonic > LEAST_HARMONIC * all ? Math.atan2(a, -b) / 2 : undefined;
}

/**
 * All hourglass marks of the photo outside `isKnown`, on the table as the camera has it; `known` marks tell how strong
 * marks are in this photo.
 */
export function loneMarks(
  photo: Raster,
  camera: Camera,
  known: readonly ImagePoint[],
  isKnown: (at: ImagePoint) => boolean,
): readonly LoneMark[] {
  const middle = imageToPlane(camera, { u: (camera.widthPx - 1) / 2, v: (camera.heightPx - 1) / 2 });
  if (!Number.isFinite(middle.x)) return [];
  const [a, b, c, d] = slopeAt(camera, middle, 0);
  const pxPerMm = Math.sqrt(Math.abs(a * d - b * c));
  return saddlePlaces(photo, pxPerMm, known, isKnown).flatMap((place): LoneMark[] => {
    const rough = imageToPlane(camera, place, CARD_FACE_HEIGHT_MM);
    const turnRad = turnOf(photo, camera, rough);
    if (turnRad === undefined) return [];
    const outcome = fitSaddle(photo, place, slopeAt(camera, rough, turnRad));
    if ('fault' in outcome) return [];
    const { at, paper, ink } = outcome.fit;
    return [{ at: imageToPlane(camera, at, CARD_FACE_HEIGHT_MM), turnRad, paper, ink }];
  });
}
