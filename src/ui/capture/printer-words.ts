import { BAR_ACROSS_MM, BAR_ALONG_MM } from '../../capture/card.ts';
import type { PrinterCheck } from '../../capture/types.ts';
import { mmWords } from '../controls/number-words.ts';

/** "across 149.2 of 150 mm, along 199.0 of 200 mm". */
export function printerWords({ acrossMm, alongMm }: PrinterCheck): string {
  return `across ${mmWords(acrossMm)} of ${BAR_ACROSS_MM} mm, along ${mmWords(alongMm)} of ${BAR_ALONG_MM} mm`;
}
