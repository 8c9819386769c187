import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import { LimitField } from '../fold-check/check-part.tsx';
import { Judged } from '../fold-check/judged.tsx';
import { Measure } from '../controls/measure.tsx';
import { countWords, mmWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';

interface VerdictPartProps {
  readonly comparison: RevisionComparison;
  readonly isStale: boolean;
  readonly isPrint: boolean;
}

/** Whether something cut or printed matches the piece, against the limit. */
export function VerdictPart({ comparison, isStale, isPrint }: VerdictPartProps) {
  const { maxMm, p95Mm, meanMm, limitMm, stretches, goneOpenings, newOpenings } = comparison;
  const isGood = stretches.length === 0 && goneOpenings.length + newOpenings.length === 0;
  return (
    <div className={`stack${isStale ? ' is-stale' : ''}`}>
      <Measure label="Largest difference" valueMm={maxMm} />
      <Notice tone={isGood ? 'good' : 'look'}>
        <p>{isGood ? goodWords(limitMm, isPrint) : overWords(comparison, isPrint)}</p>
      </Notice>
      <Judged
        limitMm={limitMm}
        rows={[
          { name: '95 % of the edge is within', valueMm: p95Mm },
          { name: 'Mean', valueMm: meanMm },
        ]}
      />
      <LimitField />
    </div>
  );
}

function goodWords(limitMm: number, isPrint: boolean): string {
  const next = isPrint ? 'Cut the foam by it.' : 'It can be glued.';
  return `Everywhere within the limit of ${mmWords(limitMm)} mm. ${next}`;
}

/** "Over 2.0 mm in 3 places: 1 too small, 2 too large. …" */
function overWords({ limitMm, stretches, goneOpenings, newOpenings }: RevisionComparison, isPrint: boolean) {
  const small = stretches.filter(({ change }) => change === 'trimmed').length;
  const openings = goneOpenings.length + newOpenings.length;
  const sides = [
    ...(small > 0 ? [`${small} too small`] : []),
    ...(stretches.length > small ? [`${stretches.length - small} too large`] : []),
  ].join(', ');
  const places =
    stretches.length > 0
      ? `Over ${mmWords(limitMm)} mm in ${countWords(stretches.length, 'place')}: ${sides}.`
      : '';
  const holes = openings > 0 ? ` ${countWords(openings, 'opening')} unlike the piece.` : '';
  const next = isPrint
    ? ' Look below which seam slipped, and tape that one again before cutting foam.'
    : ' Trim what is too large; what is too small needs a new cut or a strip glued on.';
  return places + holes + next;
}
