import { polylineLengthMm } from '../geometry/measure.ts';
import type { PlanePoint } from '../geometry/point.ts';

/** A head's size in the plane of its girth, mm. */
export interface HeadSize {
  readonly girthMm: number;
  readonly lengthMm: number;
  readonly breadthMm: number;
}

/** A point of the head's oval, mm: origin in the middle of the head, brow towards +y, the wearer's left towards -x. */
export interface OvalPoint {
  readonly at: PlanePoint;
  /** Outward, length one. */
  readonly normal: PlanePoint;
}

export interface HeadOval {
  /** From the middle of the brow round by the wearer's left, the first not repeated at the end. */
  readonly points: readonly OvalPoint[];
  /** |x / half breadth|^n + |y / half length|^n = 1; 2 is an ellipse. */
  readonly exponent: number;
  /** Length and breadth as drawn over length and breadth as given: 1, unless no oval has all three measures. */
  readonly scale: number;
}

/** Its polyline is short of the curve by about 1e-5 of its length. */
const POINTS = 720;
const FLATTEST = 1.6;
const BOXIEST = 4;

/** The power of a signed number. */
const signedPower = (value: number, power: number) => Math.sign(value) * Math.abs(value) ** power;

/** The first `count` points of the way round. */
function superellipse(
  halfLengthMm: number,
  halfBreadthMm: number,
  exponent: number,
  count = POINTS,
): OvalPoint[] {
  return Array.from({ length: count }, (_, i) => {
    const turn = (2 * Math.PI * i) / POINTS;
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    const [x, y] = [-signedPower(s, 2 / exponent), signedPower(c, 2 / exponent)];
    const across = {
      x: signedPower(x, exponent - 1) / halfBreadthMm,
      y: signedPower(y, exponent - 1) / halfLengthMm,
    };
    const size = Math.hypot(across.x, across.y);
    return {
      at: { x: x * halfBreadthMm, y: y * halfLengthMm },
      normal: { x: across.x / size, y: across.y / size },
    };
  });
}

export function ovalLengthMm(points: readonly OvalPoint[]): number {
  return polylineLengthMm(
    points.map(({ at }) => at),
    true,
  );
}

/**
 * The head's oval: a superellipse with the length and breadth given, its exponent chosen so that it is as long round as
 * the girth. An ellipse would be too short by 2.9 % in men and 5.4 % in women (ANSUR II, FACTS section 2.4): heads
 * are fuller at the temples, and hair counts. Measures that no head has together are met in girth and proportion.
 */
export function headOval({ girthMm, lengthMm, breadthMm }: HeadSize): HeadOval {
  let [low, high] = [FLATTEST, BOXIEST];
  // Four like quarters, so one is enough to go by.
  const lengthAt = (exponent: number) => {
    const quarter = superellipse(lengthMm / 2, breadthMm / 2, exponent, POINTS / 4 + 1);
    return (
      4 *
      polylineLengthMm(
        quarter.map(({ at }) => at),
        false,
      )
    );
  };
  for (let i = 0; i < 24; i++) {
    const exponent = (low + high) / 2;
    if (lengthAt(exponent) < girthMm) low = exponent;
    else high = exponent;
  }
  const exponent = (low + high) / 2;
  const rough = superellipse(lengthMm / 2, breadthMm / 2, exponent);
  const scale = girthMm / ovalLengthMm(rough);
  const points = rough.map(({ at, normal }) => ({ at: { x: at.x * scale, y: at.y * scale }, normal }));
  return { points, exponent, scale };
}
