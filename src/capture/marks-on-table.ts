/** Where the marks of found cards lie on the table, and what lies farthest apart there. */
import { distanceMm, type PlanePoint } from '../geometry/point.ts';
import { MARK_CENTRES } from './card.ts';
import type { Capture } from './types.ts';

/** The hourglass marks of all used cards, mm on the table. */
export function marksOnTable({ cards, printScale }: Capture): readonly PlanePoint[] {
  return cards
    .filter(({ used }) => used)
    .flatMap(({ centre, turnRad }) =>
      MARK_CENTRES.map((at) => {
        const [x, y] = [printScale.across * at.x, printScale.along * at.y];
        const [c, s] = [Math.cos(turnRad), Math.sin(turnRad)];
        return { x: centre.x + c * x - s * y, y: centre.y + s * x + c * y };
      }),
    );
}

/** The two of some points that lie farthest apart; undefined for fewer than two. */
export function farthestTwo(points: readonly PlanePoint[]): readonly [PlanePoint, PlanePoint] | undefined {
  let best: readonly [PlanePoint, PlanePoint] | undefined;
  points.forEach((a, i) => {
    for (const b of points.slice(0, i)) {
      if (!best || distanceMm(a, b) > distanceMm(...best)) best = [b, a];
    }
  });
  return best;
}

/** The longest way across one piece: what its maker cares about most. */
export function longestSpan(
  pieces: readonly (readonly PlanePoint[])[],
): readonly [PlanePoint, PlanePoint] | undefined {
  const spans = pieces.map(farthestTwo).filter((span) => span !== undefined);
  return spans.reduce<readonly [PlanePoint, PlanePoint] | undefined>(
    (best, span) => (best && distanceMm(...best) >= distanceMm(...span) ? best : span),
    undefined,
  );
}
