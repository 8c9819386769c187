/** Foam that the wrap length is worked out for. */
export interface WrapFoam {
  readonly thicknessMm: number;
  /** Place of the neutral surface: 0 at the head, 1 at the outside. */
  readonly neutralK: number;
  /** One sigma of K, where a test strip measured it. */
  readonly doubtK?: number;
}

/** What a piece has to reach round. */
export interface WrapNeed {
  readonly girthMm: number;
  /** Added to the girth; negative for pieces held on by tension. */
  readonly easeMm: number;
  /** Share of the way round the head that the piece covers, rad (2 pi = all round). */
  readonly coverageRad: number;
  readonly foam: WrapFoam;
  /** What lies between head and foam, mm thick when worn: liner, padding, a layer of foam underneath. */
  readonly underMm?: number;
}

const FULL_TURN_RAD = 2 * Math.PI;

/** K where nothing was measured: the neutral surface lies half-way through (common practice, no source for foam). */
export const ASSUMED_NEUTRAL_K = 0.5;

/**
 * Length along the neutral surface of a sheet bent through an angle, mm: angle x (inside radius + K t).
 * The bend allowance of sheet-metal work (formula as in Machinery's Handbook; from memory).
 */
export function bendAllowanceMm(bendRad: number, insideRadiusMm: number, foam: WrapFoam): number {
  return bendRad * (insideRadiusMm + foam.neutralK * foam.thicknessMm);
}

/**
 * Length that the flat pattern needs along the wrap line, mm: phi / (2 pi) (girth + ease) + phi (u + K t), where u is
 * what lies under the foam; for a second layer over a first of t1 all round that is C + 2 pi t1 + pi t2 at K 0.5.
 * It holds for any convex head outline, not only circles: a parallel curve at distance d round the whole way is
 * 2 pi d longer (Steiner), and the share follows the angle turned through.
 */
export function wrapLengthMm({ girthMm, easeMm, coverageRad, foam, underMm = 0 }: WrapNeed): number {
  const depthMm = underMm + foam.neutralK * foam.thicknessMm;
  return (coverageRad / FULL_TURN_RAD) * (girthMm + easeMm) + coverageRad * depthMm;
}

/** What the doubt of a measured K leaves in the wrap length, one sigma, mm; undefined where K is assumed. */
export function wrapDoubtMm({
  coverageRad,
  foam,
}: Pick<WrapNeed, 'coverageRad' | 'foam'>): number | undefined {
  return foam.doubtK === undefined ? undefined : coverageRad * foam.doubtK * foam.thicknessMm;
}

/** How much longer the pattern is cut in one foam than in another round the same head, mm. */
export function foamDifferenceMm(coverageRad: number, foam: WrapFoam, other: WrapFoam): number {
  return coverageRad * (foam.neutralK * foam.thicknessMm - other.neutralK * other.thicknessMm);
}
