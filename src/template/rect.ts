import type { PlanePoint } from '../geometry/point.ts';

/** An upright rectangle, mm; (x, y) is its lower left corner. */
export interface Rect {
  readonly x: number;
  readonly y: number;
  readonly widthMm: number;
  readonly heightMm: number;
}

export function rectCentre({ x, y, widthMm, heightMm }: Rect): PlanePoint {
  return { x: x + widthMm / 2, y: y + heightMm / 2 };
}

export function moveRect(rect: Rect, dx: number, dy: number): Rect {
  return { ...rect, x: rect.x + dx, y: rect.y + dy };
}

/** The rectangle grown by `byMm` on every side (shrunk when negative). */
export function growRect(rect: Rect, byMm: number): Rect {
  return {
    x: rect.x - byMm,
    y: rect.y - byMm,
    widthMm: rect.widthMm + 2 * byMm,
    heightMm: rect.heightMm + 2 * byMm,
  };
}

export function isInRect({ x, y }: PlanePoint, rect: Rect): boolean {
  return x >= rect.x && x <= rect.x + rect.widthMm && y >= rect.y && y <= rect.y + rect.heightMm;
}
