import type { PieceLine } from '../geometry/line-kinds.ts';
import { flattenPath } from '../geometry/measure.ts';
import { alongLineMm, type StraightLine } from '../geometry/motion.ts';
import { polylinePath } from '../geometry/path.ts';
import type { PlanePoint } from '../geometry/point.ts';
import { directionOf, plus, quarterLeft, times } from '../geometry/vector.ts';
import type { TemplatePiece } from './template-input.ts';

/** The axis runs on beyond the piece, so that the crease is begun on clear paper, mm. */
const BEYOND_MM = 10;
/** Ticks stand across the axis about this far apart, this long on either side, mm. */
const TICK_EVERY_MM = 40;
const TICK_MM = 4;
/** Crosses in pairs at either end: folded rightly, each lies on its partner. */
const CROSS_FROM_AXIS_MM = 15;
const CROSS_MM = 3;

/**
 * A piece made ready to be folded: its lines with the axis, crease ticks across it, and pairs of crosses at equal distances
 * that lie on each other once the taped paper is folded on the axis and held to the light. Lines in the piece's frame, mm.
 */
export function foldCard(piece: TemplatePiece, axis: StraightLine): TemplatePiece {
  const designed = piece.lines.filter(({ kind }) => kind !== 'wrap');
  const points = designed.flatMap(({ path }) => flattenPath(path, 0.2));
  const along = points.map((point) => alongLineMm(axis, point));
  const [least, most] = [Math.min(...along) - BEYOND_MM, Math.max(...along) + BEYOND_MM];
  const out = directionOf(axis.angleRad);
  const left = quarterLeft(out);
  const at = (alongMm: number, leftMm: number): PlanePoint =>
    plus(plus(axis.point, times(out, alongMm)), times(left, leftMm));
  const stroke = (id: string, kind: PieceLine['kind'], from: PlanePoint, to: PlanePoint): PieceLine => ({
    id: `fold-card-${id}`,
    kind,
    path: polylinePath([from, to], false),
  });
  const count = Math.max(2, Math.round((most - least) / TICK_EVERY_MM) + 1);
  const ticks = Array.from({ length: count }, (_, i) => {
    const alongMm = least + ((most - least) * i) / (count - 1);
    return stroke(`tick-${i + 1}`, 'mark', at(alongMm, -TICK_MM), at(alongMm, TICK_MM));
  });
  const crosses = [least, most].flatMap((alongMm, end) =>
    [-1, 1].flatMap((side) => {
      const name = `cross-${end + 1}-${side < 0 ? 'right' : 'left'}`;
      const across = side * CROSS_FROM_AXIS_MM;
      return [
        stroke(`${name}-a`, 'mark', at(alongMm - CROSS_MM, across), at(alongMm + CROSS_MM, across)),
        stroke(`${name}-b`, 'mark', at(alongMm, across - CROSS_MM), at(alongMm, across + CROSS_MM)),
      ];
    }),
  );
  return {
    ...piece,
    name: `${piece.name}, fold card`,
    count: 1,
    mirroredCount: 0,
    revisionLabel: `${piece.revisionLabel}; fold on the axis, crosses on crosses, hold to the light`,
    lines: [...designed, stroke('axis', 'fold', at(least, 0), at(most, 0)), ...ticks, ...crosses],
  };
}
