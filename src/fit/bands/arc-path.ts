import type { CubicSegment, Joint } from '../../geometry/path.ts';
import { plus, times } from '../../geometry/vector.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { directionOf, quarterLeft } from '../../geometry/vector.ts';

/** Arcs are drawn in steps of at most this angle: cubics then leave the circle by less than 1e-8 of its radius. */
const STEP_RAD = Math.PI / 12;

/**
 * An arc about a centre from one angle to another as cubics, mm; handles of 4/3 tan(step / 4) radii (the usual choice for
 * circles; from memory). It runs clockwise when `toRad` is the smaller one. The last joint is `lastJoint`.
 */
export function arcSegments(
  centre: PlanePoint,
  radiusMm: number,
  fromRad: number,
  toRad: number,
  lastJoint: Joint,
): CubicSegment[] {
  const steps = Math.max(1, Math.ceil(Math.abs(toRad - fromRad) / STEP_RAD));
  const step = (toRad - fromRad) / steps;
  const handle = (4 / 3) * Math.tan(step / 4) * radiusMm;
  return Array.from({ length: steps }, (_, i): CubicSegment => {
    const [a, b] = [directionOf(fromRad + i * step), directionOf(fromRad + (i + 1) * step)];
    const [from, to] = [plus(centre, times(a, radiusMm)), plus(centre, times(b, radiusMm))];
    return {
      kind: 'cubic',
      c1: plus(from, times(quarterLeft(a), handle)),
      c2: plus(to, times(quarterLeft(b), -handle)),
      to,
      joint: i === steps - 1 ? lastJoint : 'smooth',
    };
  });
}
