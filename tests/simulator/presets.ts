import type { PlanePoint } from '../../src/geometry/point.ts';
import type { SimCamera } from './lens.ts';
import type { CardSpot } from './poses.ts';
import type { Light, Picture, Scene, SimCard, Table, TableKind } from './scene.ts';

/** Ordinary values, each to be overridden by the scene that tests it. */

export const CLEAN_PICTURE: Picture = {
  blurSigmaPx: 0.9,
  exposure: 0.9,
  falloff: 0,
  shotNoise: 0,
  readNoise: 0,
  sharpen: 0,
  sharpenSigmaPx: 1,
};

/** A phone indoors: two to three grey levels of noise on white, mild sharpening, JPEG 90. */
export const PHONE_PICTURE: Picture = {
  blurSigmaPx: 0.9,
  exposure: 0.9,
  falloff: 0.25,
  shotNoise: 3e-4,
  readNoise: 0.003,
  sharpen: 0.5,
  sharpenSigmaPx: 1.2,
  jpegQuality: 90,
};

export const EVEN_LIGHT: Light = {
  color: [1, 1, 1],
  centre: { x: 0, y: 0 },
  gradientPerMm: { x: 0, y: 0 },
  halfAtMm: Infinity,
  towards: { x: 0, y: 0 },
  penumbra: 0.5,
  ambient: 1,
};

/** A ceiling lamp to one side: light falls off, soft shadows on the other side. */
export const ROOM_LIGHT: Light = {
  color: [1, 0.97, 0.92],
  centre: { x: 150, y: 250 },
  gradientPerMm: { x: 1e-4, y: 2e-4 },
  halfAtMm: 1400,
  towards: { x: 0.35, y: 0.55 },
  penumbra: 0.4,
  ambient: 0.5,
};

const TABLES: Readonly<Record<TableKind, Table>> = {
  plain: { kind: 'plain', dark: [0.2, 0.2, 0.2], bright: [0.24, 0.24, 0.23], turnRad: 0 },
  wood: { kind: 'wood', dark: [0.1, 0.055, 0.03], bright: [0.26, 0.16, 0.09], turnRad: 0.2 },
  cloth: { kind: 'cloth', dark: [0.05, 0.08, 0.14], bright: [0.12, 0.16, 0.24], turnRad: 0.4 },
  grid: { kind: 'grid', dark: [0.04, 0.16, 0.1], bright: [0.55, 0.62, 0.5], turnRad: 0.05 },
};

export function table(kind: TableKind): Table {
  return TABLES[kind];
}

/** A card as printed by a good printer, lying flat. */
export function flatCard(spot: CardSpot, changes: Partial<SimCard> = {}): SimCard {
  return {
    ...spot,
    heightMm: 0,
    print: { across: 1, along: 1 },
    inkSpreadMm: 0,
    paper: [0.84, 0.84, 0.83],
    ink: 0.035,
    ...changes,
  };
}

/** A scene with nothing in it yet. */
export function emptyScene(camera: SimCamera, changes: Partial<Scene> = {}): Scene {
  return {
    seed: 1,
    camera,
    picture: CLEAN_PICTURE,
    light: EVEN_LIGHT,
    table: table('plain'),
    mottle: 0.02,
    cards: [],
    pieces: [],
    sheets: [],
    bankCards: [],
    lines: [],
    facts: { focalLength35Mm: Math.round((36 * camera.focalPx) / camera.widthPx) },
    ...changes,
  };
}

export function rectangleOutline(
  centre: PlanePoint,
  width: number,
  height: number,
  turnRad = 0,
): PlanePoint[] {
  const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
  return [
    [-width / 2, -height / 2],
    [width / 2, -height / 2],
    [width / 2, height / 2],
    [-width / 2, height / 2],
  ].map(([x, y]) => ({ x: centre.x + c * x! - s * y!, y: centre.y + s * x! + c * y! }));
}
