/** Small paths that the pages are drawn with, mm. */
import { type Path, polylinePath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import type { Rect } from './rect.ts';

/** Control arm of a cubic quarter circle of radius 1; off the true circle by at most 0.03 % of the radius. */
const QUARTER_ARM = (4 / 3) * (Math.SQRT2 - 1);

/** A point of a circle's four, from angle 0 counter-clockwise, and its unit tangent. */
function quarterPoint({ x, y }: PlanePoint, radius: number, quarter: number) {
  const [cx, cy] = (
    [
      [1, 0],
      [0, 1],
      [-1, 0],
      [0, -1],
    ] as const
  )[quarter % 4]!;
  return { at: { x: x + radius * cx, y: y + radius * cy }, tangent: { x: -cy, y: cx } };
}

function quarterArc(centre: PlanePoint, radius: number, quarter: number) {
  const from = quarterPoint(centre, radius, quarter);
  const to = quarterPoint(centre, radius, quarter + 1);
  const arm = radius * QUARTER_ARM;
  return {
    kind: 'cubic',
    c1: { x: from.at.x + arm * from.tangent.x, y: from.at.y + arm * from.tangent.y },
    c2: { x: to.at.x - arm * to.tangent.x, y: to.at.y - arm * to.tangent.y },
    to: to.at,
    joint: 'smooth',
  } as const;
}

export function circlePath(centre: PlanePoint, radius: number): Path {
  return {
    closed: true,
    start: quarterPoint(centre, radius, 0).at,
    segments: [0, 1, 2, 3].map((quarter) => quarterArc(centre, radius, quarter)),
  };
}

/** A quarter disc from its centre; quarter 0 lies right and up of it, the others follow counter-clockwise. */
export function quarterDisc(centre: PlanePoint, radius: number, quarter: number): Path {
  return {
    closed: true,
    start: centre,
    segments: [
      { kind: 'line', to: quarterPoint(centre, radius, quarter).at, joint: 'corner' },
      { ...quarterArc(centre, radius, quarter), joint: 'corner' },
      { kind: 'line', to: centre, joint: 'corner' },
    ],
  };
}

export function rectPath({ x, y, widthMm, heightMm }: Rect): Path {
  return polylinePath(
    [
      { x, y },
      { x: x + widthMm, y },
      { x: x + widthMm, y: y + heightMm },
      { x, y: y + heightMm },
    ],
    true,
  );
}
