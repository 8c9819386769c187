import { Check, Scaling } from 'lucide-react';
import type { FitPlan } from '../../fit/fit-plan.ts';
import type { FitMode } from '../../fit/scale-piece.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { percentWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { BeforeAfter } from './before-after.tsx';

interface ChangePartProps {
  readonly plan: FitPlan;
  /** True while the figures are still those of the state before. */
  readonly isStale: boolean;
  readonly mode: FitMode;
  readonly onMode: (mode: FitMode) => void;
  readonly onAccept: () => void;
}

/** What fitting does to the piece, before it is accepted. */
export function ChangePart({ plan, isStale, mode, onMode, onAccept }: ChangePartProps) {
  const percent = percentWords(Math.abs(plan.factor - 1), 1);
  const way = plan.factor > 1 ? 'longer' : 'shorter';
  return (
    <PanelPart title="Change the piece" icon={Scaling}>
      <Choice
        label="What is resized"
        options={[
          { id: 'along-wrap', words: 'Along the wrap' },
          { id: 'whole', words: 'Whole piece' },
        ]}
        value={mode}
        onChange={onMode}
      />
      <p className="small quiet">
        {mode === 'along-wrap'
          ? `Lengths along the wrap line become ${percent} ${way}; those across it stay.`
          : `All lengths become ${percent} ${way}; the shape stays.`}
      </p>
      <BeforeAfter before={plan.before} after={plan.after} isStale={isStale} words="fitted" />
      <ActionButton kind="main" wide icon={Check} isDisabled={isStale} onPress={onAccept}>
        Accept the fitted piece
      </ActionButton>
    </PanelPart>
  );
}
