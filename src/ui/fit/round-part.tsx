import { CircleDashed } from 'lucide-react';
import { LIMITS } from '../../build/limits.ts';
import type { WrapNeed } from '../../fit/wrap-length.ts';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { percentWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { COVERAGE_WORDS, coverageWord, degreesOf, radiansOf } from '../../fit/coverage.ts';
import { HeadDrawing } from './head-drawing.tsx';

interface RoundPartProps {
  readonly need: WrapNeed;
  readonly onCoverage: (coverageRad: number) => void;
  readonly onEase: (easeMm: number) => void;
}

/** How far the piece goes round the head, and how loosely. */
export function RoundPart({ need, onCoverage, onEase }: RoundPartProps) {
  const { coverageRad, easeMm, girthMm, foam } = need;
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
        <MmField label="Ease" digits={0} {...LIMITS.easeMm} value={easeMm} onChange={onEase} />
      </div>
      <p className="small quiet">
        Ease is the slack round the whole head: room for hair or lining above 0, held on by pressure below 0.
      </p>
      <HeadDrawing
        girthMm={girthMm}
        easeMm={easeMm}
        thicknessMm={foam.thicknessMm}
        coverageRad={coverageRad}
      />
    </PanelPart>
  );
}
