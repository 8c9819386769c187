import { polygonAreaMm2, polylineLengthMm } from '../../src/geometry/measure.ts';
import type { PlanePoint } from '../../src/geometry/point.ts';
import type { TrueCard, TruePiece } from '../setup/truth.ts';
import { HOURGLASS_OFFSET_MM, SQUARE_SIZE_MM } from './card-face.ts';
import type { SimCamera } from './lens.ts';
import type { Scene, SimCard } from './scene.ts';

/** What is true in a scene, in the engine's frames: mm on the table (pieces as they lie flat). */
export interface SceneTruth {
  readonly camera: SimCamera;
  readonly cards: readonly TrueCard[];
  readonly pieces: readonly (TruePiece & { readonly lengthMm: number; readonly areaMm2: number })[];
  readonly lines: readonly { readonly points: readonly PlanePoint[]; readonly closed: boolean }[];
}

export function truthOf(scene: Scene): SceneTruth {
  return {
    camera: scene.camera,
    cards: scene.cards.map(({ id, centre, turnRad }) => ({ id, centre, turnRad })),
    pieces: scene.pieces.map(({ outer, holes, thicknessMm }) => ({
      outer,
      holes,
      thicknessMm,
      lengthMm: polylineLengthMm(outer, true),
      areaMm2: holes.reduce((area, hole) => area - Math.abs(polygonAreaMm2(hole)), polygonAreaMm2(outer)),
    })),
    lines: scene.lines.map(({ points, closed }) => ({ points, closed })),
  };
}

/** Signs of the marks' places on an upright card in the engine's order: top left, top right, bottom right, bottom left. */
const CORNER_SIGNS: readonly (readonly [number, number])[] = [
  [-1, 1],
  [1, 1],
  [1, -1],
  [-1, -1],
];

/** True places on the table of points of a card's face given in printed mm; for flat cards. */
export function onTable(card: SimCard, x: number, y: number): PlanePoint {
  const { across, along, skew = 0 } = card.print;
  const [px, py] = [across * x + skew * along * y, along * y];
  const [c, s] = [Math.cos(card.turnRad), Math.sin(card.turnRad)];
  return { x: card.centre.x + c * px - s * py, y: card.centre.y + s * px + c * py };
}

/** True places of a flat card's four hourglass points. */
export function hourglassPoints(card: SimCard): PlanePoint[] {
  return CORNER_SIGNS.map(([x, y]) => onTable(card, x * HOURGLASS_OFFSET_MM, y * HOURGLASS_OFFSET_MM));
}

/** True places of the corners of a flat card's black square (without ink spread). */
export function squareCorners(card: SimCard): PlanePoint[] {
  return CORNER_SIGNS.map(([x, y]) => onTable(card, (x * SQUARE_SIZE_MM) / 2, (y * SQUARE_SIZE_MM) / 2));
}

/** Height of a flat card's printed face over the table, mm: paper lies on it, it does not sink in. */
export function faceHeightMm(card: SimCard): number {
  return card.heightMm + 0.1;
}
