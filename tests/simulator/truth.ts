import { HOURGLASS_OFFSET_MM, SQUARE_SIZE_MM } from './card-face.ts';
import { PAPER_MM } from './bodies.ts';
import { reliefOf } from './relief.ts';
import type { SimCard } from './scene.ts';

/** Signs of the marks' places on an upright card in the engine's order: top left, top right, bottom right, bottom left. */
const CORNER_SIGNS: readonly (readonly [number, number])[] = [
  [-1, 1],
  [1, 1],
  [1, -1],
  [-1, -1],
];

/** A place in the world, mm. */
export interface WorldPoint {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** True place in the world of a point of a card's face given in printed mm, curl and lift included. */
function facePoint(card: SimCard, x: number, y: number): WorldPoint {
  const { across, along, skew = 0 } = card.print;
  const relief = reliefOf(card.curl);
  const [px, py] = [across * x + skew * along * y, along * y];
  const arc = px * relief.dirX + py * relief.dirY;
  let t = arc;
  for (let i = 0; i < 20; i++) t -= (relief.arc(t) - arc) / Math.hypot(1, relief.slope(t));
  const [lx, ly] = [px + (t - arc) * relief.dirX, py + (t - arc) * relief.dirY];
  const [c, s] = [Math.cos(card.turnRad), Math.sin(card.turnRad)];
  return {
    x: card.centre.x + c * lx - s * ly,
    y: card.centre.y + s * lx + c * ly,
    z: card.heightMm + PAPER_MM + relief.rise(t),
  };
}

/** True places of a card's four hourglass points. */
export function hourglassPoints(card: SimCard): WorldPoint[] {
  return CORNER_SIGNS.map(([x, y]) => facePoint(card, x * HOURGLASS_OFFSET_MM, y * HOURGLASS_OFFSET_MM));
}

/** True places of the corners of a card's black square (without ink spread). */
export function squareCorners(card: SimCard): WorldPoint[] {
  return CORNER_SIGNS.map(([x, y]) => facePoint(card, (x * SQUARE_SIZE_MM) / 2, (y * SQUARE_SIZE_MM) / 2));
}
