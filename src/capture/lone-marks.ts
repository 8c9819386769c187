/** Hourglass marks anywhere in a photo whose camera is known: what is left to see of cards that could not be read. */
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
/** Grey levels by which a place must look like a mark; the second for all of the ring. */
const FIRST_LEVEL = 50;
const LEAST_LEVEL = 120;
/** Print of one printer in one light: a mark is at least this share as strong as the marks of the cards that were read. */
const KNOWN_SHARE = 0.4;
/** The strongest places are looked at closely; more of them only a table full of checks has. */
const MOST_PLACES = 48;
/** Marks of known cards that tell how strong marks are. */
const MOST_KNOWN = 24;
/** Places nearer to each other than this, reduced px, are one. */
const APART_PX = 4;

/** Share of a ring's unevenness that the second harmonic is; of a mark's square wave it is 8 / pi^2. */
const LEAST_HARMONIC = 0.6;

interface Place extends ImagePoint {
  readonly level: number;
}

/** Offsets of the ring's places, px. */
function ringOf(radius: number): readonly (readonly [number, number])[] {
  return Array.from({ length: RING_PLACES }, (_, k) => {
    const angle = (2 * Math.PI * k) / RING_PLACES;
    return [Math.round(radius * Math.cos(angle)), Math.round(radius * Math.sin(angle))] as const;
  });
}

/**
 * Places where opposite sides of a ring are alike and those a quarter turn on are not (the response of Bennett & Lasenby,
 * "ChESS: Quick and Robust Detection of Chess-board Features", CVIU 118, 2014, without its mean term, since a mark's
 * discs are two quarters only), in the reduced picture's pixels.
 */
function ringPlaces({ width, height, data }: GrayPicture, radius: number): Place[] {
  const offsets = ringOf(radius).map(([du, dv]) => dv * width + du);
  const [e, ne, n, nw, w, sw, s, se] = offsets.filter((_, k) => k % 2 === 0) as [
    ...(readonly [number, number, number, number]),
    ...(readonly [number, number, number, number]),
  ];
  const ring = new Uint8Array(RING_PLACES);
  const quarter = (k: number): number =>
    Math.abs(ring[k]! + ring[k + 8]! - ring[k + 4]! - ring[(k + 12) % 16]!);
  const levelAt = (at: number): number => {
    for (let k = 0; k < RING_PLACES; k++) ring[k] = data[at + offsets[k]!]!;
    let level = 0;
    for (let k = 0; k < 4; k++) level += quarter(k);
    for (let k = 0; k < 8; k++) level -= Math.abs(ring[k]! - ring[k + 8]!);
    return level;
  };
  const beside = [-1, 0, 1].flatMap((dv) => [-1, 0, 1].map((du) => ({ du, dv })));
  const places: Place[] = [];
  const margin = Math.ceil(radius) + 1;
  for (let row = margin; row < height - margin; row += STRIDE) {
    for (let column = margin; column < width - margin; column += STRIDE) {
      const at = row * width + column;
      // Most places are told from a mark by eight of the ring's sixteen; no call, no store for those.
      const upright = data[at + e]! + data[at + w]! - data[at + n]! - data[at + s]!;
      const slanting = data[at + ne]! + data[at + sw]! - data[at + nw]! - data[at + se]!;
      if (Math.abs(upright) < FIRST_LEVEL && Math.abs(slanting) < FIRST_LEVEL) continue;
      if (levelAt(at) <= LEAST_LEVEL) continue;
      const near = beside.map(({ du, dv }) => ({
        u: column + du,
        v: row + dv,
        level: levelAt(at + dv * width + du),
      }));
      places.push(near.reduce((best, one) => (one.level > best.level ? one : best)));
    }
  }
  return places.sort((a, b) => b.level - a.level);
}

/** Those places in the photo's pixels, the strongest first, that are none of a known card's and as strong as those. */
function saddlePlaces(
  photo: Raster,
  pxPerMm: number,
  isKnown: (at: ImagePoint) => boolean,
): readonly Place[] {
  const factor = Math.max(1, Math.floor((RING_MM * pxPerMm) / RING_PX));
  const places = ringPlaces(shrunkGreen(photo, factor), (RING_MM * pxPerMm) / factor);
  const back = (value: number): number => factor * (value + 0.5) - 0.5;
  const kept: Place[] = [];
  const known: Place[] = [];
  const least = (): number => KNOWN_SHARE * (known[Math.min(known.length, MOST_KNOWN) >> 1]?.level ?? 0);
  for (const { u, v, level } of places) {
    // The strongest known ones come first, so what they ask is settled before anything weaker is looked at.
    if (kept.length >= MOST_PLACES || level < least()) break;
    const place = { u: back(u), v: back(v), level };
    const isApart = [kept, known].every((others) =>
      others.every((other) => Math.hypot(other.u - place.u, other.v - place.v) > APART_PX * factor),
    );
    if (isApart) (isKnown(place) ? known : kept).push(place);
  }
  return kept.filter(({ level }) => level >= least());
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

/** All hourglass marks of the photo outside `isKnown`, on the table as the camera has it. */
export function loneMarks(
  photo: Raster,
  camera: Camera,
  isKnown: (at: ImagePoint) => boolean,
): readonly LoneMark[] {
  const middle = imageToPlane(camera, { u: (camera.widthPx - 1) / 2, v: (camera.heightPx - 1) / 2 });
  if (!Number.isFinite(middle.x)) return [];
  const [a, b, c, d] = slopeAt(camera, middle, 0);
  const pxPerMm = Math.sqrt(Math.abs(a * d - b * c));
  return saddlePlaces(photo, pxPerMm, isKnown).flatMap((place): LoneMark[] => {
    const rough = imageToPlane(camera, place, CARD_FACE_HEIGHT_MM);
    const turnRad = turnOf(photo, camera, rough);
    if (turnRad === undefined) return [];
    const outcome = fitSaddle(photo, place, slopeAt(camera, rough, turnRad));
    if ('fault' in outcome) return [];
    const { at, paper, ink } = outcome.fit;
    return [{ at: imageToPlane(camera, at, CARD_FACE_HEIGHT_MM), turnRad, paper, ink }];
  });
}
