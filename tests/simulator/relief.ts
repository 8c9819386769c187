import type { Curl } from './scene.ts';

/**
 * The surface of a curled sheet in its own frame: z = a t^2 + b t + c along one direction.
 * `surfaceShift` keeps lengths on the sheet: a place t on the table belongs to arc length s(t) on the paper.
 */
export interface Relief {
  readonly flat: boolean;
  readonly dirX: number;
  readonly dirY: number;
  readonly maxRiseMm: number;
  /** Rise at t. */
  rise(t: number): number;
  slope(t: number): number;
  /** Arc length on the sheet from its middle to t. */
  arc(t: number): number;
}

const FLAT: Relief = {
  flat: true,
  dirX: 1,
  dirY: 0,
  maxRiseMm: 0,
  rise: () => 0,
  slope: () => 0,
  arc: (t) => t,
};

/** Primitive of sqrt(1 + f'^2) over the slope. */
const arcPrimitive = (slope: number): number =>
  (slope * Math.sqrt(1 + slope * slope) + Math.asinh(slope)) / 2;

export function reliefOf(curl: Curl | undefined): Relief {
  if (!curl || (curl.riseMm === 0 && !curl.slope)) return FLAT;
  const { halfSpanMm, riseMm } = curl;
  const a = riseMm / (halfSpanMm * halfSpanMm);
  const b = curl.slope ?? 0;
  // The lowest place of the sheet touches what it lies on.
  const valley = a > 0 && Math.abs(b) < 2 * a * halfSpanMm ? (-b * b) / (4 * a) : 0;
  const lowest = Math.min(valley, riseMm - Math.abs(b) * halfSpanMm);
  const c = -lowest;
  return {
    flat: false,
    dirX: Math.cos(curl.directionRad),
    dirY: Math.sin(curl.directionRad),
    maxRiseMm: Math.max(0, riseMm) + Math.abs(b) * halfSpanMm + c,
    rise: (t) => (a * t + b) * t + c,
    slope: (t) => 2 * a * t + b,
    arc: (t) =>
      Math.abs(a) < 1e-12
        ? t * Math.sqrt(1 + b * b)
        : (arcPrimitive(2 * a * t + b) - arcPrimitive(b)) / (2 * a),
  };
}
