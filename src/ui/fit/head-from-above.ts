import type { PlanePoint } from '../../geometry/point.ts';

/** Breadth over length of a head seen from above: 0.774 in men, 0.779 in women (ANSUR II, computed; FACTS 2.4). */
const BREADTH_TO_LENGTH = 0.775;
/** Points round the oval; its polyline is short of it by 2e-5 of its length. */
const POINTS = 360;

/** A head of this girth seen from above with the piece round it, mm; origin in the head's middle, brow towards +y. */
export interface HeadFromAbove {
  /** The head's oval, closed. */
  readonly head: readonly PlanePoint[];
  /** The foam's inner face over the covered part, from the wearer's right to the left; closed when all round. */
  readonly inner: readonly PlanePoint[];
  /** The foam's outer face, point for point with the inner one. */
  readonly outer: readonly PlanePoint[];
  readonly isAllRound: boolean;
}

interface OvalPoint {
  readonly at: PlanePoint;
  /** Outward, length one. */
  readonly normal: PlanePoint;
}

/** Points of the oval with girth `girthMm`, evenly turned, the brow first, counter-clockwise. */
function oval(girthMm: number): OvalPoint[] {
  const unit = Array.from({ length: POINTS }, (_, i) => {
    const turn = Math.PI / 2 + (2 * Math.PI * i) / POINTS;
    return { x: BREADTH_TO_LENGTH * Math.cos(turn), y: Math.sin(turn), turn };
  });
  const lengthOf = unit.reduce((sum, { x, y }, i) => {
    const next = unit[(i + 1) % POINTS]!;
    return sum + Math.hypot(next.x - x, next.y - y);
  }, 0);
  const scale = girthMm / lengthOf;
  return unit.map(({ x, y, turn }) => {
    const across = { x: Math.cos(turn), y: BREADTH_TO_LENGTH * Math.sin(turn) };
    const size = Math.hypot(across.x, across.y);
    return { at: { x: x * scale, y: y * scale }, normal: { x: across.x / size, y: across.y / size } };
  });
}

function shifted({ at, normal }: OvalPoint, byMm: number): PlanePoint {
  return { x: at.x + byMm * normal.x, y: at.y + byMm * normal.y };
}

/** The points of the oval within half of `share` of its girth on either side of the brow. */
function covered(points: readonly OvalPoint[], share: number): OvalPoint[] {
  const run: { point: OvalPoint; alongMm: number }[] = [];
  let along = 0;
  for (let i = 0; i <= POINTS; i++) {
    const point = points[i % POINTS]!;
    run.push({ point, alongMm: along });
    const next = points[(i + 1) % POINTS]!;
    along += Math.hypot(next.at.x - point.at.x, next.at.y - point.at.y);
  }
  const girth = run[POINTS]!.alongMm;
  const half = (share * girth) / 2;
  const left = run.filter(({ alongMm }) => alongMm <= half);
  const right = run.filter(({ alongMm }) => alongMm >= girth - half);
  return [...right.slice(0, -1), ...left].map(({ point }) => point);
}

/**
 * Head and foam from above in true proportions. Ease stands between head and foam all round: `easeMm` more girth is
 * a gap of easeMm / 2 pi (a parallel curve at distance d is 2 pi d longer).
 */
export function headFromAbove({
  girthMm,
  easeMm,
  thicknessMm,
  coverageRad,
}: {
  readonly girthMm: number;
  readonly easeMm: number;
  readonly thicknessMm: number;
  readonly coverageRad: number;
}): HeadFromAbove {
  const points = oval(girthMm);
  const gapMm = easeMm / (2 * Math.PI);
  const share = coverageRad / (2 * Math.PI);
  const isAllRound = share > 1 - 1e-9;
  const part = isAllRound ? points : covered(points, share);
  return {
    head: points.map(({ at }) => at),
    inner: part.map((point) => shifted(point, gapMm)),
    outer: part.map((point) => shifted(point, gapMm + thicknessMm)),
    isAllRound,
  };
}
