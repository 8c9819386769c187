import type { PlanePoint } from '../geometry/point.ts';

/** How a piece lies on a sheet: turned counter-clockwise about its origin, then shifted, mm. */
export interface Placement {
  readonly turnRad: number;
  readonly shift: PlanePoint;
}

/** A quarter turn is exact, so that straight upright edges stay so. */
function cosineAndSine(turnRad: number): readonly [number, number] {
  const quarters = turnRad / (Math.PI / 2);
  const whole = Math.round(quarters);
  if (Math.abs(quarters - whole) > 1e-12) return [Math.cos(turnRad), Math.sin(turnRad)];
  return (
    [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ] as const
  )[((whole % 4) + 4) % 4]!;
}

/** Maps points of the piece's frame into the sheet's frame, mm. */
export function placer({ turnRad, shift }: Placement): (point: PlanePoint) => PlanePoint {
  const [c, s] = cosineAndSine(turnRad);
  return ({ x, y }) => ({ x: c * x - s * y + shift.x, y: s * x + c * y + shift.y });
}

/** Maps points of the sheet's frame back into the piece's frame, mm. */
export function unplacer({ turnRad, shift }: Placement): (point: PlanePoint) => PlanePoint {
  const [c, s] = cosineAndSine(turnRad);
  return ({ x, y }) => ({
    x: c * (x - shift.x) + s * (y - shift.y),
    y: -s * (x - shift.x) + c * (y - shift.y),
  });
}

export function movePlacement({ turnRad, shift }: Placement, dx: number, dy: number): Placement {
  return { turnRad, shift: { x: shift.x + dx, y: shift.y + dy } };
}
