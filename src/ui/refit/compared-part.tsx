import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import { Figures } from '../controls/figures.tsx';
import { Measure } from '../controls/measure.tsx';
import { countWords, mmWords, percentWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';
import { areaChangeWords, areaWords } from './change-words.ts';

interface ComparedPartProps {
  readonly comparison: RevisionComparison;
  readonly isStale: boolean;
}

/** How much was trimmed and added. */
export function ComparedPart({ comparison, isStale }: ComparedPartProps) {
  const { stretches, limitMm, agreeingShare, mirrored } = comparison;
  const told = (change: 'trimmed' | 'added') => stretches.filter((stretch) => stretch.change === change);
  const [trimmed, added] = [told('trimmed'), told('added')];
  const sum = (list: typeof stretches) => areaWords(list.reduce((total, { areaMm2 }) => total + areaMm2, 0));
  return (
    <div className={`stack${isStale ? ' is-stale' : ''}`}>
      <Measure label="Trimmed at most" valueMm={trimmed[0]?.peakMm ?? 0} />
      {stretches.length === 0 && (
        <Notice tone="good">
          <p>Nowhere more than {mmWords(limitMm)} mm from the piece: nothing was trimmed.</p>
        </Notice>
      )}
      <Figures
        rows={[
          ['Trimmed', `${countWords(trimmed.length, 'place')}, ${sum(trimmed)}`],
          ['Added', `${countWords(added.length, 'place')}, ${sum(added)}`],
          ['In all', areaChangeWords(comparison)],
          ['Unchanged, to 1 mm', `${percentWords(agreeingShare)} of the edge`],
          ['Laid', mirrored ? 'turned over' : 'this side up'],
        ]}
      />
    </div>
  );
}
