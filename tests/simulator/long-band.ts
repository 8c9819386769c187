import type { PlanePoint } from '../../src/geometry/point.ts';
import { cameraAt, type CardSpot, plainLens } from './poses.ts';
import { emptyScene, flatCard, PHONE_PICTURE, ROOM_LIGHT, table } from './presets.ts';
import type { Scene, SimPiece } from './scene.ts';

/** A band 700 mm long, curved and with a wavy edge, an opening in its middle and one to the right. */
export function longBand(thicknessMm: number): SimPiece {
  const middle = (x: number): number => 0.0002 * x * x - 12;
  const side = (sign: number): PlanePoint[] =>
    Array.from({ length: 701 }, (_, i) => ({
      x: i - 350,
      y: middle(i - 350) + sign * (36 + 4 * Math.sin((i - 350) / (sign > 0 ? 35 : 80))),
    }));
  const opening = (x: number, y: number, rx: number, ry: number): PlanePoint[] =>
    Array.from({ length: 240 }, (_, i) => ({
      x: x + rx * Math.cos((i * Math.PI) / 120),
      y: y + ry * Math.sin((i * Math.PI) / 120),
    }));
  return {
    outer: [...side(-1), ...side(1).reverse()],
    holes: [opening(0, -12, 14, 9), opening(240, -2, 18, 12)],
    thicknessMm,
    color: [0.62, 0.5, 0.34],
    wallColor: [0.5, 0.4, 0.28],
  };
}

/** 2, 3 and 6 lie where both photos see them. */
export const BAND_CARDS: readonly CardSpot[] = [
  { id: 0, centre: { x: -340, y: 120 }, turnRad: 0.1 },
  { id: 1, centre: { x: -330, y: -120 }, turnRad: 1.5 },
  { id: 2, centre: { x: -5, y: -120 }, turnRad: -0.2 },
  { id: 3, centre: { x: -50, y: 120 }, turnRad: 0.3 },
  { id: 4, centre: { x: 335, y: 120 }, turnRad: 3 },
  { id: 5, centre: { x: 340, y: -120 }, turnRad: -1.4 },
  { id: 6, centre: { x: 48, y: 120 }, turnRad: 0.1 },
];

export interface BandPhoto {
  readonly half: 'left' | 'right';
  readonly cardIds: readonly number[];
  readonly megapixels: number;
  readonly thicknessMm: number;
  /** How far the piece was moved before this photo. */
  readonly pieceMoved?: PlanePoint;
  readonly seed?: number;
}

/** One half of the band with its cards, as a phone photographs it. */
export function bandScene(photo: BandPhoto): Scene {
  const { half, cardIds, megapixels, thicknessMm, pieceMoved = { x: 0, y: 0 }, seed = 5 } = photo;
  const isLeft = half === 'left';
  const camera = cameraAt(
    { ...plainLens(megapixels), k1: 0.015, k2: -0.004 },
    {
      tiltRad: isLeft ? 0.1 : 0.14,
      azimuthRad: isLeft ? 1.2 : 2.6,
      rollRad: isLeft ? 0.01 : -0.03,
      target: { x: isLeft ? -168 : 170, y: 2 },
      distanceMm: isLeft ? 405 : 412,
    },
  );
  const band = longBand(thicknessMm);
  const moved = ({ x, y }: PlanePoint): PlanePoint => ({ x: x + pieceMoved.x, y: y + pieceMoved.y });
  return emptyScene(camera, {
    seed,
    picture: PHONE_PICTURE,
    light: ROOM_LIGHT,
    table: table('plain'),
    cards: BAND_CARDS.filter(({ id }) => cardIds.includes(id)).map((spot) => flatCard(spot)),
    pieces: [{ ...band, outer: band.outer.map(moved), holes: band.holes.map((hole) => hole.map(moved)) }],
  });
}
