import { polylineLengthMm } from '../../geometry/measure.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { mix, unit } from '../../geometry/vector.ts';

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
  const shape = Array.from({ length: POINTS }, (_, i) => {
    const turn = Math.PI / 2 + (2 * Math.PI * i) / POINTS;
    return { x: BREADTH_TO_LENGTH * Math.cos(turn), y: Math.sin(turn), turn };
  });
  const scale = girthMm / polylineLengthMm(shape, true);
  return shape.map(({ x, y, turn }) => {
    const across = { x: Math.cos(turn), y: BREADTH_TO_LENGTH * Math.sin(turn) };
    const size = Math.hypot(across.x, across.y);
    return { at: { x: x * scale, y: y * scale }, normal: { x: across.x / size, y: across.y / size } };
  });
}

function shifted({ at, normal }: OvalPoint, byMm: number): PlanePoint {
  return { x: at.x + byMm * normal.x, y: at.y + byMm * normal.y };
}

/** The point between two neighbours at a share of the way. */
function between(a: OvalPoint, b: OvalPoint, share: number): OvalPoint {
  const normal = unit(mix(a.normal, b.normal, share)) ?? a.normal;
  return { at: mix(a.at, b.at, share), normal };
}

/** The points within half of `share` of the girth on either side of the brow, from the wearer's right to the left. */
function covered(points: readonly OvalPoint[], share: number): OvalPoint[] {
  const halfMm =
    (share *
      polylineLengthMm(
        points.map(({ at }) => at),
        true,
      )) /
    2;
  /** From the brow round one side, as far as half of the share reaches. */
  const side = (step: 1 | -1): OvalPoint[] => {
    const run = [points[0]!];
    let leftMm = halfMm;
    for (let i = step; leftMm > 0 && Math.abs(i) <= POINTS; i += step) {
      const last = run.at(-1)!;
      const next = points[(i + POINTS) % POINTS]!;
      const stepMm = distanceMm(last.at, next.at);
      run.push(stepMm <= leftMm ? next : between(last, next, leftMm / stepMm));
      leftMm -= stepMm;
    }
    return run;
  };
  return [...side(-1).reverse(), ...side(1).slice(1)];
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
