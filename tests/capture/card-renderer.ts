/** A small analytic camera for tests: scale cards rendered into a photo with blur, noise and a known truth. */
import { type Camera, imageToPlane, planeToImage } from '../../src/capture/camera.ts';
import {
  CARD_FACE_HEIGHT_MM,
  CARD_SIDE_MM,
  MARK_CENTRES,
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

type Ink = 'ink' | 'paper' | 'table';

function inkAt(cells: readonly (readonly boolean[])[], spread: number, { x, y }: PlanePoint): Ink {
  if (Math.max(Math.abs(x), Math.abs(y)) > CARD_SIDE_MM / 2) return 'table';
  const half = SQUARE_SIDE_MM / 2;
  const cell = SQUARE_SIDE_MM / MARKER_CELLS;
  const isInkNear = (px: number, py: number): boolean => {
    if (Math.max(Math.abs(px), Math.abs(py)) < half) {
      return !cells[Math.floor((half - py) / cell)]![Math.floor((px + half) / cell)];
    }
    return MARK_CENTRES.some(
      (mark) => Math.hypot(px - mark.x, py - mark.y) < MARK_RADIUS_MM && (px - mark.x) * (py - mark.y) > 0,
    );
  };
  if (isInkNear(x, y)) return 'ink';
  if (spread > 0) {
    for (let k = 0; k < 12; k++) {
      const angle = (k * Math.PI) / 6;
      if (isInkNear(x + spread * Math.cos(angle), y + spread * Math.sin(angle))) return 'ink';
    }
  }
  return 'paper';
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

/** Renders the cards of a scene: pixels average 6 x 6 points where an edge runs through them. */
export function renderCards(scene: Scene): Raster {
  const { camera } = scene;
  const { widthPx: width, heightPx: height } = camera;
  const tones: Record<Ink, number> = {
    paper: scene.paper ?? 0.75,
    ink: scene.ink ?? 0.03,
    table: scene.table ?? 0.15,
  };
  const light = new Float32Array(width * height).fill(tones.table);
  const boxes = scene.cards.map((card) => boxOf(camera, card, 8 + 5 * scene.blurPx));
  scene.cards.forEach((card, index) => {
    const cells = markerCells(card.id);
    const sample = (u: number, v: number): number => {
      const at = cardPointAt(camera, card, u, v);
      return card.cover?.(at) ?? tones[inkAt(cells, card.inkSpreadMm ?? 0, at)];
    };
    const box = boxes[index]!;
    for (let v = box.top; v <= box.bottom; v++) {
      for (let u = box.left; u <= box.right; u++) {
        const middle = sample(u, v);
        const isEven = [-0.5, 0, 0.5].every((b) =>
          [-0.5, 0, 0.5].every((a) => sample(u + a, v + b) === middle),
        );
        let value = middle;
        if (!isEven) {
          value = 0;
          for (let k = 0; k < 36; k++)
            value += sample(u - 5 / 12 + (k % 6) / 6, v - 5 / 12 + Math.floor(k / 6) / 6) / 36;
        }
        if (value !== tones.table) light[v * width + u] = value;
      }
    }
  });
  if (scene.blurPx > 0) for (const box of boxes) blurBox(light, width, box, scene.blurPx);
  const normal = seededNormal(scene.seed);
  const data = new Uint8ClampedArray(width * height * 4);
  for (let v = 0, at = 0; v < height; v++) {
    for (let u = 0; u < width; u++, at++) {
      const shade = 1 - (scene.falloff ?? 0) * (u / width);
      const value = toSrgb(light[at]! * shade) + scene.noise * normal();
      data.fill(value, at * 4, at * 4 + 3);
      data[at * 4 + 3] = 255;
    }
  }
  return { width, height, data };
}
