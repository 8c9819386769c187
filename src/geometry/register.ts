import type { RigidMotion } from './motion.ts';
import type { PlanePoint } from './point.ts';

export interface RigidFit {
  readonly motion: RigidMotion;
  /** Weighted root mean square of what distance is left between pairs, mm. */
  readonly rmsMm: number;
}

/**
 * The rigid motion that lays points `from` on their partners `to` with the least weighted sum of squared
 * distances; no scaling. Closed form: in the plane Kabsch's rotation (Acta Cryst. A32, 1976) is the angle of the
 * summed dot and cross products about the centroids. With `mirrored` the points are turned over first.
 * Throws unless both lists pair off and some weight is positive.
 */
export function fitRigid(
  from: readonly PlanePoint[],
  to: readonly PlanePoint[],
  { mirrored = false, weights }: { mirrored?: boolean; weights?: readonly number[] } = {},
): RigidFit {
  if (from.length !== to.length || from.length === 0) {
    throw new RangeError(`cannot pair ${from.length} points with ${to.length}`);
  }
  const flip = mirrored ? -1 : 1;
  const a = centroid(from, weights);
  const b = centroid(to, weights);
  let [dots, crosses] = [0, 0];
  for (let i = 0; i < from.length; i++) {
    const w = weights?.[i] ?? 1;
    const [px, py] = [from[i]!.x - a.x, flip * (from[i]!.y - a.y)];
    const [qx, qy] = [to[i]!.x - b.x, to[i]!.y - b.y];
    dots += w * (px * qx + py * qy);
    crosses += w * (px * qy - py * qx);
  }
  const angleRad = dots === 0 && crosses === 0 ? 0 : Math.atan2(crosses, dots);
  const [c, s] = [Math.cos(angleRad), Math.sin(angleRad)];
  const shift = { x: b.x - c * a.x + s * flip * a.y, y: b.y - s * a.x - c * flip * a.y };
  let squares = 0;
  for (let i = 0; i < from.length; i++) {
    const { x, y } = from[i]!;
    const dx = c * x - s * flip * y + shift.x - to[i]!.x;
    const dy = s * x + c * flip * y + shift.y - to[i]!.y;
    squares += (weights?.[i] ?? 1) * (dx * dx + dy * dy);
  }
  return {
    motion: { mirrored, angleRad, shift },
    rmsMm: Math.sqrt(squares / totalWeight(from.length, weights)),
  };
}

/**
 * Full Procrustes distance between two paired point sets: both brought to centroid size one, then shifted, turned and
 * scaled onto each other; sqrt(1 - (sum of singular values)^2). Dryden and Mardia, Statistical Shape Analysis (from
 * memory). It compares shapes whatever their size; laying pieces on each other uses fitRigid, which never scales.
 */
export function procrustesDistance(from: readonly PlanePoint[], to: readonly PlanePoint[]): number {
  if (from.length !== to.length) throw new RangeError(`cannot pair ${from.length} points with ${to.length}`);
  const a = centroid(from);
  const b = centroid(to);
  let [dots, crosses] = [0, 0];
  for (let i = 0; i < from.length; i++) {
    const [px, py] = [from[i]!.x - a.x, from[i]!.y - a.y];
    const [qx, qy] = [to[i]!.x - b.x, to[i]!.y - b.y];
    dots += px * qx + py * qy;
    crosses += px * qy - py * qx;
  }
  const likeness = Math.hypot(dots, crosses) / (centroidSizeMm(from) * centroidSizeMm(to));
  return Math.sqrt(Math.max(0, 1 - likeness * likeness));
}

/** Square root of the summed squared distances to the centroid, mm. */
export function centroidSizeMm(points: readonly PlanePoint[]): number {
  const middle = centroid(points);
  return Math.sqrt(points.reduce((sum, p) => sum + (p.x - middle.x) ** 2 + (p.y - middle.y) ** 2, 0));
}

function totalWeight(count: number, weights?: readonly number[]): number {
  const total = weights ? weights.reduce((sum, w) => sum + w, 0) : count;
  if (!(total > 0)) throw new RangeError('some weight must be positive');
  return total;
}

function centroid(points: readonly PlanePoint[], weights?: readonly number[]): PlanePoint {
  const total = totalWeight(points.length, weights);
  let [x, y] = [0, 0];
  for (let i = 0; i < points.length; i++) {
    const w = weights?.[i] ?? 1;
    x += w * points[i]!.x;
    y += w * points[i]!.y;
  }
  return { x: x / total, y: y / total };
}
