import type { Bounds } from '../../geometry/measure.ts';

/** A rectangle grown on every side by this share of its longer side. */
export function grown({ minX, minY, maxX, maxY }: Bounds, share: number): Bounds {
  const room = share * Math.max(maxX - minX, maxY - minY);
  return { minX: minX - room, minY: minY - room, maxX: maxX + room, maxY: maxY + room };
}

/** The same with room above for what lies over the table's upper edge. */
export function withRoomAbove(bounds: Bounds): Bounds {
  const { minY, maxY } = bounds;
  return { ...bounds, maxY: maxY + 0.1 * (maxY - minY) };
}
