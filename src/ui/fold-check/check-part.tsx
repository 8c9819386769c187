import { setFoldLimit } from '../../build/commands/build-setup.ts';
import { LIMITS } from '../../build/limits.ts';
import type { FoldCheck } from '../../mirror/check-fold.ts';
import { change, useBuild } from '../bench.ts';
import { Measure } from '../controls/measure.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { countWords, mmWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';
import { foldLimitMm } from './fold-limit.ts';
import { Judged } from './judged.tsx';

/** What a fold and a pair have in common. */
type HalvesCheck = Pick<
  FoldCheck,
  'maxMm' | 'p95Mm' | 'meanMm' | 'limitMm' | 'leftAreaMm2' | 'rightAreaMm2' | 'stretches' | 'lines'
>;

/** What the two are called in sentences: "left half", "right half"; or the names of two pieces. */
interface HalfNames {
  readonly left: string;
  readonly right: string;
}

interface CheckFiguresProps {
  readonly check: HalvesCheck;
  readonly isStale: boolean;
  readonly names: HalfNames;
}

/** How well the halves match, in figures. */
export function CheckFigures({ check, isStale, names }: CheckFiguresProps) {
  const { maxMm, meanMm, p95Mm, limitMm, stretches } = check;
  return (
    <div className={`stack${isStale ? ' is-stale' : ''}`}>
      <Measure label="Largest difference" valueMm={maxMm} />
      {stretches.length === 0 ? (
        <Notice tone="good">
          <p>Everywhere within the limit of {mmWords(limitMm)} mm.</p>
        </Notice>
      ) : (
        <Notice tone="look">
          <p>{overWords(check, names)}</p>
        </Notice>
      )}
      <Judged
        limitMm={limitMm}
        rows={[
          { name: '95 % of the edge is within', valueMm: p95Mm },
          { name: 'Mean', valueMm: meanMm },
          { name: 'Area', valueMm: areaAsEdgeMm(check), note: areaWords(check) },
        ]}
      />
    </div>
  );
}

export function LimitField() {
  const limitMm = useBuild(foldLimitMm);
  return (
    <div className="field-rows">
      <MmField
        label="Limit"
        value={limitMm}
        {...LIMITS.foldLimitMm}
        onChange={(next) =>
          change('Limit of the fold check', (build) => setFoldLimit(build, { foldLimitMm: next }))
        }
        help="2 mm is common practice."
      />
    </div>
  );
}

/** "Over 2.0 mm in 3 places. The largest is most likely on the right half, …" */
function overWords({ limitMm, stretches }: HalvesCheck, names: HalfNames): string {
  const [largest] = stretches;
  if (!largest) return '';
  const places = `Over ${mmWords(limitMm)} mm in ${countWords(stretches.length, 'place')}.`;
  const other = largest.half === 'left' ? 'right' : 'left';
  const which = largest.isOddHalf
    ? ` The largest is most likely on the ${names[largest.half]}: its edge bends there where the ${names[other]} runs on.`
    : ' Both bend alike at the largest: laying them on each other cannot tell which one is amiss.';
  return places + which;
}

/** The area difference spread along the edge of one half, mm: how far that edge would have to move to even it out. */
function areaAsEdgeMm({ leftAreaMm2, rightAreaMm2, lines }: HalvesCheck): number {
  const edgeMm = lines.reduce((sum, { lengthMm }) => sum + lengthMm, 0) / 2;
  return Math.abs(leftAreaMm2 - rightAreaMm2) / Math.max(edgeMm, 1e-9);
}

function areaWords({ leftAreaMm2, rightAreaMm2 }: HalvesCheck): string {
  const cm2 = (areaMm2: number) => mmWords(areaMm2 / 100);
  return `${cm2(leftAreaMm2)} against ${cm2(rightAreaMm2)} cm², spread along the edge`;
}
