import type { RefitStretch } from '../../refit/compare-line.ts';
import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import { mmWords } from '../controls/number-words.ts';

export const areaWords = (areaMm2: number): string => `${mmWords(areaMm2 / 100)} cm²`;

/** "Trimmed 3.2 mm". */
export function stretchWords({ change, peakMm }: RefitStretch): string {
  return `${change === 'trimmed' ? 'Trimmed' : 'Added'} ${mmWords(peakMm)} mm`;
}

/** "84 mm along the edge, 2.1 cm²". */
export function stretchSizeWords({ fromMm, toMm, areaMm2 }: RefitStretch): string {
  return `${mmWords(toMm - fromMm, 0)} mm along the edge, ${areaWords(areaMm2)}`;
}

/** What a revision made by a refit is called: "trimmed 3.2 mm, added 1.0 mm at most". */
export function refitWhy(stretches: readonly RefitStretch[], mockUpName: string): string {
  const largest = (change: RefitStretch['change']) =>
    Math.max(0, ...stretches.filter((stretch) => stretch.change === change).map(({ peakMm }) => peakMm));
  const parts = (['trimmed', 'added'] as const)
    .filter((change) => largest(change) > 0)
    .map((change) => `${change} ${mmWords(largest(change))} mm`);
  return parts.length > 0 ? `${parts.join(', ')} at most (${mockUpName})` : `edge taken from ${mockUpName}`;
}

/** "12.3 cm² less foam than before, 4.1 %". */
export function areaChangeWords({ areaChangeMm2, areaChangePct }: RevisionComparison): string {
  const more = areaChangeMm2 > 0 ? 'more' : 'less';
  return `${areaWords(Math.abs(areaChangeMm2))} ${more} foam, ${mmWords(Math.abs(areaChangePct))} %`;
}
