import { CircleDashed } from 'lucide-react';
import type { GoingRound } from '../../build/going-round.ts';
import { COVERAGE_WORDS, coverageWord, degreesOf, radiansOf } from '../../fit/coverage.ts';
import type { HeadRound } from '../../fit/round-head.ts';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { percentWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { AboveView } from './above-view.tsx';

interface RoundPartProps {
  readonly coverageRad: number;
  readonly going: GoingRound;
  readonly laid: HeadRound;
  readonly onCoverage: (coverageRad: number) => void;
}

/** How far the piece goes round the head. */
export function RoundPart({ coverageRad, going, laid, onCoverage }: RoundPartProps) {
  const word = coverageWord(coverageRad);
  return (
    <PanelPart title="Round the head" icon={CircleDashed}>
      <Choice
        label="Share of the way round the head"
        options={COVERAGE_WORDS}
        // Of a share without a word none is marked; the exact figure below tells it.
        value={word?.id ?? ''}
        onChange={(id) => {
          const chosen = COVERAGE_WORDS.find((each) => each.id === id);
          if (chosen) onCoverage(chosen.coverageRad);
        }}
      />
      <div className="field-rows">
        <MmField
          label={`Exactly (${percentWords(coverageRad / (2 * Math.PI))})`}
          unit="°"
          digits={0}
          min={1}
          max={360}
          value={degreesOf(coverageRad)}
          onChange={(degrees) => {
            // The field shows whole degrees; a third of a turn must not become 120.0001 by looking at it.
            if (Math.abs(degrees - degreesOf(coverageRad)) > 0.5) onCoverage(radiansOf(degrees));
          }}
        />
      </div>
      <figure>
        <AboveView going={going} laid={laid} isSmall />
        <figcaption className="small quiet">
          From above, in true proportion. The table shows it large under “From above”.
        </figcaption>
      </figure>
    </PanelPart>
  );
}
