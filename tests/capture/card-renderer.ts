/** A small analytic camera for tests: scale cards rendered into a photo with blur, noise and a known truth. */
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import {
  CARD_FACE_HEIGHT_MM,
  CARD_SIDE_MM,
  MARK_OFFSET_MM,
  MARK_RADIUS_MM,
  MARKER_CELLS,
  markerCells,
  SQUARE_SIDE_MM,
} from '../../src/capture/card.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import type { Raster } from '../../src/vision/raster.ts';

/** Seeded uniform numbers in 0..1 (mulberry32, public domain). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** Seeded normal numbers, mean 0 and standard deviation 1 (Box and Muller). */
export function seededNormal(seed: number): () => number {
  const random = seededRandom(seed);
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

export interface RenderedCard {
  readonly id: number;
  readonly centre: PlanePoint;
  readonly turnRad: number;
  /** True size of a printed millimetre. */
  readonly across?: number;
  readonly along?: number;
  /** Height of the face over the table at a point of the card, mm; the flat face height when absent. */
  readonly height?: (at: PlanePoint) => number;
  /** Paints over the card: light 0..1 at a point of the card, or undefined where nothing covers it. */
  readonly cover?: (at: PlanePoint) => number | undefined;
  /** How far the ink spreads over its edges, mm. */
  readonly inkSpreadMm?: number;
}

export interface Scene {
  readonly camera: Camera;
  readonly cards: readonly RenderedCard[];
  readonly blurPx: number;
  /** Standard deviation of the noise in sRGB steps. */
  readonly noise: number;
  readonly seed: number;
  readonly paper?: number;
  readonly ink?: number;
  readonly table?: number;
  /** Light falls off across the picture by this share from left to right. */
  readonly falloff?: number;
}

/** A camera looking down at `target` from `distanceMm`, tilted towards `azimuthRad` and rolled. */
export function cameraOver(options: {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly focalPx: number;
  readonly distanceMm: number;
  readonly tiltRad: number;
  readonly azimuthRad?: number;
  readonly rollRad?: number;
  readonly target?: PlanePoint;
  readonly k1?: number;
  readonly k2?: number;
  readonly offsetUPx?: number;
  readonly offsetVPx?: number;
}): Camera {
  const { tiltRad, azimuthRad = 0, rollRad = 0, target = { x: 0, y: 0 } } = options;
  const back = [
    Math.sin(tiltRad) * Math.cos(azimuthRad),
    Math.sin(tiltRad) * Math.sin(azimuthRad),
    Math.cos(tiltRad),
  ];
  const forward = back.map((value) => -value);
  // Right: level with the table, then rolled about the axis.
  const level = [Math.cos(rollRad), Math.sin(rollRad), 0];
  const along = level[0]! * forward[0]! + level[1]! * forward[1]!;
  const raw = level.map((value, i) => value - along * forward[i]!);
  const norm = Math.hypot(...raw);
  const right = raw.map((value) => value / norm);
  const down = [
    forward[1]! * right[2]! - forward[2]! * right[1]!,
    forward[2]! * right[0]! - forward[0]! * right[2]!,
    forward[0]! * right[1]! - forward[1]! * right[0]!,
  ];
  return {
    widthPx: options.widthPx,
    heightPx: options.heightPx,
    focalPx: options.focalPx,
    offsetUPx: options.offsetUPx ?? 0,
    offsetVPx: options.offsetVPx ?? 0,
    k1: options.k1 ?? 0,
    k2: options.k2 ?? 0,
    rotation: [...right, ...down, ...forward],
    centreMm: [
      target.x + options.distanceMm * back[0]!,
      target.y + options.distanceMm * back[1]!,
      options.distanceMm * back[2]!,
    ],
  };
}

/** Where a nominal point of a card lies on the table, mm. */
export function onTable(card: RenderedCard, at: PlanePoint): PlanePoint {
  const [x, y] = [at.x * (card.across ?? 1), at.y * (card.along ?? 1)];
  const [c, s] = [Math.cos(card.turnRad), Math.sin(card.turnRad)];
  return { x: card.centre.x + c * x - s * y, y: card.centre.y + s * x + c * y };
}

/** True image place of a nominal point of a card. */
export function seenAt(camera: Camera, card: RenderedCard, at: PlanePoint): { u: number; v: number } {
  return planeToImage(camera, onTable(card, at), card.height?.(at) ?? CARD_FACE_HEIGHT_MM);
}

/** Nominal card point seen at a pixel: the face's height is met by fixed-point steps. */
function cardPointAt(camera: Camera, card: RenderedCard, u: number, v: number): PlanePoint {
  let at: PlanePoint = { x: 0, y: 0 };
  for (let step = 0; step < (card.height ? 5 : 1); step++) {
    const height = card.height?.(at) ?? CARD_FACE_HEIGHT_MM;
    const table = imageToPlane(camera, { u, v }, height);
    const [dx, dy] = [table.x - card.centre.x, table.y - card.centre.y];
    const [c, s] = [Math.cos(card.turnRad), Math.sin(card.turnRad)];
    at = { x: (c * dx + s * dy) / (card.across ?? 1), y: (c * dy - s * dx) / (card.along ?? 1) };
  }
  return at;
}

/** What a nominal card point shows: 0 table, 1 paper, 2 ink. */
const [TABLE, PAPER, INK] = [0, 1, 2];

/** True where the printed pattern is black. */
function isInk(cells: readonly (readonly boolean[])[], x: number, y: number): boolean {
  const half = SQUARE_SIDE_MM / 2;
  if (Math.abs(x) < half && Math.abs(y) < half) {
    const cell = SQUARE_SIDE_MM / MARKER_CELLS;
    return !cells[Math.floor((half - y) / cell)]![Math.floor((x + half) / cell)];
  }
  const dx = x - Math.sign(x) * MARK_OFFSET_MM;
  const dy = y - Math.sign(y) * MARK_OFFSET_MM;
  return dx * dy > 0 && dx * dx + dy * dy < MARK_RADIUS_MM * MARK_RADIUS_MM;
}

function inkAt(cells: readonly (readonly boolean[])[], spread: number, x: number, y: number): number {
  if (Math.max(Math.abs(x), Math.abs(y)) > CARD_SIDE_MM / 2) return TABLE;
  if (isInk(cells, x, y)) return INK;
  for (let k = 0; k < (spread > 0 ? 12 : 0); k++) {
    const angle = (k * Math.PI) / 6;
    if (isInk(cells, x + spread * Math.cos(angle), y + spread * Math.sin(angle))) return INK;
  }
  return PAPER;
}

function toSrgb(light: number): number {
  const c = Math.min(1, Math.max(0, light));
  return 255 * (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055);
}

/** Gaussian blur of part of a picture, in place; `box` must be framed by plain table. */
function blurBox(light: Float32Array, width: number, box: Box, sigma: number): void {
  const reach = Math.ceil(4 * sigma);
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    Math.exp(-((i - reach) ** 2) / (2 * sigma * sigma)),
  );
  const sum = kernel.reduce((a, b) => a + b, 0);
  const pass = (start: number, count: number, stride: number): void => {
    const line = Float64Array.from({ length: count }, (_, i) => light[start + i * stride]!);
    for (let i = 0; i < count; i++) {
      let value = 0;
      for (let k = -reach; k <= reach; k++)
        value += kernel[k + reach]! * line[Math.min(count - 1, Math.max(0, i + k))]!;
      light[start + i * stride] = value / sum;
    }
  };
  for (let v = box.top; v <= box.bottom; v++) pass(v * width + box.left, box.right - box.left + 1, 1);
  for (let u = box.left; u <= box.right; u++) pass(box.top * width + u, box.bottom - box.top + 1, width);
}

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

function boxOf(camera: Camera, card: RenderedCard, margin: number): Box {
  const half = CARD_SIDE_MM / 2;
  const corners = [-half, half].flatMap((x) => [-half, half].map((y) => seenAt(camera, card, { x, y })));
  const us = corners.map(({ u }) => u);
  const vs = corners.map(({ v }) => v);
  return {
    left: Math.max(0, Math.floor(Math.min(...us) - margin)),
    top: Math.max(0, Math.floor(Math.min(...vs) - margin)),
    right: Math.min(camera.widthPx - 1, Math.ceil(Math.max(...us) + margin)),
    bottom: Math.min(camera.heightPx - 1, Math.ceil(Math.max(...vs) + margin)),
  };
}

/** Points across and down a pixel that an edge runs through. */
const FINE = 6;

/** Paints one card: its place is found at every pixel corner, and linearly between them. */
function paintCard(scene: Scene, card: RenderedCard, box: Box, light: Float32Array): void {
  const { camera } = scene;
  const tones = [scene.table ?? 0.15, scene.paper ?? 0.75, scene.ink ?? 0.03];
  const cells = markerCells(card.id);
  const toneAt = (x: number, y: number): number =>
    card.cover?.({ x, y }) ?? tones[inkAt(cells, card.inkSpreadMm ?? 0, x, y)]!;
  const width = box.right - box.left + 2;
  const cornersOf = (v: number) =>
    Array.from({ length: width }, (_, i) => cardPointAt(camera, card, box.left + i - 0.5, v - 0.5));
  let upper = cornersOf(box.top);
  for (let v = box.top; v <= box.bottom; v++) {
    const lower = cornersOf(v + 1);
    for (let i = 0; i + 1 < width; i++) {
      const [a, b, c, d] = [upper[i]!, upper[i + 1]!, lower[i]!, lower[i + 1]!];
      const fine = (p: number, q: number): number =>
        toneAt(
          (1 - q) * ((1 - p) * a.x + p * b.x) + q * ((1 - p) * c.x + p * d.x),
          (1 - q) * ((1 - p) * a.y + p * b.y) + q * ((1 - p) * c.y + p * d.y),
        );
      const first = fine(0, 0);
      let value = first;
      if (fine(1, 0) !== first || fine(0, 1) !== first || fine(1, 1) !== first || fine(0.5, 0.5) !== first) {
        value = 0;
        for (let k = 0; k < FINE * FINE; k++) {
          value += fine(((k % FINE) + 0.5) / FINE, (Math.floor(k / FINE) + 0.5) / FINE) / (FINE * FINE);
        }
      }
      if (value !== tones[0]) light[v * camera.widthPx + box.left + i] = value;
    }
    upper = lower;
  }
}

/** Renders the cards of a scene. */
export function renderCards(scene: Scene): Raster {
  const { camera } = scene;
  const { widthPx: width, heightPx: height } = camera;
  const light = new Float32Array(width * height).fill(scene.table ?? 0.15);
  const boxes = scene.cards.map((card) => boxOf(camera, card, 8 + 5 * scene.blurPx));
  scene.cards.forEach((card, index) => paintCard(scene, card, boxes[index]!, light));
  if (scene.blurPx > 0) for (const box of boxes) blurBox(light, width, box, scene.blurPx);
  const normal = seededNormal(scene.seed);
  // A long strip of noise, begun anew at a random place on every row.
  const strip = Float32Array.from({ length: 65536 }, () => scene.noise * normal());
  const random = seededRandom(scene.seed);
  const srgb = Float32Array.from({ length: 4097 }, (_, k) => toSrgb(k / 4096));
  const data = new Uint8ClampedArray(width * height * 4);
  for (let v = 0, at = 0; v < height; v++) {
    let grain = Math.floor(random() * strip.length);
    for (let u = 0; u < width; u++, at++) {
      const shade = 4096 * light[at]! * (1 - (scene.falloff ?? 0) * (u / width));
      const step = Math.min(4095, Math.floor(shade));
      const value = srgb[step]! + (shade - step) * (srgb[step + 1]! - srgb[step]!) + strip[grain++ & 65535]!;
      data[4 * at] = value;
      data[4 * at + 1] = value;
      data[4 * at + 2] = value;
      data[4 * at + 3] = 255;
    }
  }
  return { width, height, data };
}
