import type { GoingRound } from '../../build/going-round.ts';
import type { HeadRound, Seam } from '../../fit/round-head.ts';
import { mmWords } from '../controls/number-words.ts';

/** Coverage is set in whole degrees, and shares of it may add up to a hair less than the whole way. */
const ALL_ROUND_RAD = 2 * Math.PI - 0.02;

/** Shares that come to more than once round. */
export function coversTooMuch({ coverageRad }: Pick<GoingRound, 'coverageRad'>): boolean {
  return coverageRad > 4 * Math.PI - ALL_ROUND_RAD;
}

/** Ends this near to each other meet, mm: foam is not cut closer. */
const MEETS_WITHIN_MM = 1;

export type Closing = 'meets' | 'open' | 'gap' | 'overlap';

/** How the ends of what goes round stand to each other; `open` where the way round is not meant to be closed. */
export function closingOf({ coverageRad }: Pick<GoingRound, 'coverageRad'>, { gapMm }: HeadRound): Closing {
  if (gapMm < -MEETS_WITHIN_MM) return 'overlap';
  if (coverageRad < ALL_ROUND_RAD) return 'open';
  return gapMm > MEETS_WITHIN_MM ? 'gap' : 'meets';
}

/** "gap 12.3 mm", "overlap 4.0 mm", "open 280 mm", "meets". */
export function closingWords(closing: Closing, gapMm: number): string {
  if (closing === 'meets') return 'ends meet';
  return `${closing} ${mmWords(Math.abs(gapMm), closing === 'open' ? 0 : 1)} mm`;
}

/** "96 mm from the middle of the brow to the wearer’s left". */
export function seamPlaceWords({ fromBrowMm }: Pick<Seam, 'fromBrowMm'>): string {
  if (Math.abs(fromBrowMm) < 0.5) return 'in the middle of the brow';
  return `${mmWords(Math.abs(fromBrowMm), 0)} mm from the middle of the brow to the wearer’s ${fromBrowMm > 0 ? 'left' : 'right'}`;
}
