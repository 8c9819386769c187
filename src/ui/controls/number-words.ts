/**
 * Numbers as the maker reads them: in the browser's way of writing decimals, with as many digits as are known.
 * Tolerances come in as the engine keeps them, one sigma, and are shown as stated.
 */
import { statedTolerance } from '../../stated-tolerance.ts';

function format(value: number, digits: number): string {
  // A figure that rounds to zero must not read "-0.0".
  const safe = Math.abs(value) < 0.5 * 10 ** -digits ? 0 : value;
  return new Intl.NumberFormat(undefined, {
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
    useGrouping: false,
  }).format(safe);
}

/** Digits after the point that a tolerance (one sigma) leaves meaningful: stated as 0.04 gives 2, 0.4 gives 1, 4 gives 0; at most 2. */
export function digitsFor(toleranceMm: number): number {
  if (!(toleranceMm > 0)) return 1;
  return Math.min(2, Math.max(0, Math.ceil(-Math.log10(statedTolerance(toleranceMm)) - 1e-9)));
}

/** "412.3": a length in mm with the digits given (one unless told otherwise). */
export function mmWords(valueMm: number, digits = 1): string {
  return Number.isFinite(valueMm) ? format(valueMm, digits) : '–';
}

/** "± 0.4" of a one-sigma tolerance of 0.2 mm; never shown as zero. */
export function toleranceWords(toleranceMm: number): string {
  const digits = Math.max(1, digitsFor(toleranceMm));
  return `± ${format(Math.max(statedTolerance(toleranceMm), 10 ** -digits), digits)}`;
}

/** A sentence in which no line ends between "±", its figure and its unit. */
export function withFiguresWhole(sentence: string): string {
  return sentence.replace(/± (\S+) mm/gu, '±\u00A0$1\u00A0mm');
}

/** "0.08 mm", or "< 0.01 mm": how far off something is, mm. */
export function residualWords(residualMm: number): string {
  return residualMm < 0.01 ? `< ${format(0.01, 2)} mm` : `${format(residualMm, 2)} mm`;
}

/** "38 %" of a share in 0..1. */
export function percentWords(share: number, digits = 0): string {
  return `${format(share * 100, digits)} %`;
}

/** "12°" of an angle in rad. */
export function degreeWords(angleRad: number, digits = 0): string {
  return `${format((angleRad * 180) / Math.PI, digits)}°`;
}

/** "1 card", "3 cards": a count with its noun. */
export function countWords(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** "25 Nov 2025, 07:43" in the browser's own words, for an ISO 8601 time. */
export function whenWords(iso: string): string {
  return new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' }).format(
    new Date(iso),
  );
}
