/**
 * Head circumference in ANSUR II (2012, NATICK/TR-15/007; 4,082 men and 1,986 women, all soldiers, hair
 * counted in): smallest, 1st, 50th and 99th percentile, largest, mm. tests/fit recompute them from the data.
 */
export const ANSUR_GIRTH_MM = {
  smallest: 500,
  women: { p1: 521, p50: 560, p99: 611 },
  men: { p1: 538, p50: 574, p99: 614 },
  largest: 635,
} as const;

/** Nobody is this small or large round the head: a slip of unit or of the tape. */
const LOWEST_USABLE_MM = 350;
const HIGHEST_USABLE_MM = 800;

export interface GirthSense {
  readonly kind: 'usual' | 'unusual' | 'unlikely' | 'unusable';
  /** A kind sentence for the maker; empty when the girth is usual. */
  readonly message: string;
}

function slipOfUnit(girthMm: number): string {
  if (girthMm >= 18 && girthMm <= 27)
    return ` If it was read in inches, that is ${(girthMm * 25.4).toFixed(0)} mm.`;
  if (girthMm >= 45 && girthMm <= 68) return ` If it was read in centimetres, that is ${girthMm * 10} mm.`;
  return '';
}

/** Judges a head girth in mm against published percentiles; a warning, never a refusal, for anyone who could exist. */
export function girthSense(girthMm: number): GirthSense {
  if (!(girthMm >= LOWEST_USABLE_MM && girthMm <= HIGHEST_USABLE_MM)) {
    const hint = slipOfUnit(girthMm);
    return {
      kind: 'unusable',
      message: `A head girth of ${girthMm} mm cannot be right, so nothing can be fitted to it.${hint} Measure round the brow and the fullest part at the back, in mm.`,
    };
  }
  if (girthMm < ANSUR_GIRTH_MM.smallest || girthMm > ANSUR_GIRTH_MM.largest) {
    return {
      kind: 'unlikely',
      message: `${girthMm} mm lies outside all of 6,068 measured adults (${ANSUR_GIRTH_MM.smallest}-${ANSUR_GIRTH_MM.largest} mm). Children and big hair do; otherwise measure again before cutting.`,
    };
  }
  if (girthMm < ANSUR_GIRTH_MM.women.p1 || girthMm > ANSUR_GIRTH_MM.men.p99) {
    return {
      kind: 'unusual',
      message: `${girthMm} mm is rarer than 1 adult in 100 (${ANSUR_GIRTH_MM.women.p1}-${ANSUR_GIRTH_MM.men.p99} mm holds nearly all). Worth a second look at the tape.`,
    };
  }
  return { kind: 'usual', message: '' };
}
