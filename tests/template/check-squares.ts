import type { PlanePoint } from '../../src/geometry/point.ts';
import type { ReadPage } from './read-pdf.ts';

/** Squares of a side drawn on a page, by their lower left corners. */
export function squaresOn(page: ReadPage, sideMm: number): PlanePoint[] {
  return page.paths.flatMap(({ painted, commands }) => {
    const points = commands.flatMap((command) => command.points);
    if (painted !== 'stroke' || points.length < 4) return [];
    const [xs, ys] = [points.map(({ x }) => x), points.map(({ y }) => y)];
    const [left, bottom] = [Math.min(...xs), Math.min(...ys)];
    const isSquare = [Math.max(...xs) - left, Math.max(...ys) - bottom].every(
      (side) => Math.abs(side - sideMm) < 0.01,
    );
    return isSquare && commands.every(({ verb }) => verb !== 'cubic') ? [{ x: left, y: bottom }] : [];
  });
}
