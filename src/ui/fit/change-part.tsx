import { Check, Scaling } from 'lucide-react';
import type { FitPlan } from '../../fit/fit-plan.ts';
import type { FitMode, PieceSizes } from '../../fit/scale-piece.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { mmWords, percentWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { signedWords } from './signed-words.ts';

interface ChangePartProps {
  readonly plan: FitPlan;
  /** True while the figures are still those of the state before. */
  readonly isStale: boolean;
  readonly mode: FitMode;
  readonly onMode: (mode: FitMode) => void;
  readonly onAccept: () => void;
}

const ROWS: readonly {
  readonly name: string;
  readonly unit: string;
  readonly of: (sizes: PieceSizes) => number;
}[] = [
  { name: 'Wrap line', unit: 'mm', of: ({ wrapMm }) => wrapMm },
  { name: 'Along it', unit: 'mm', of: ({ alongMm }) => alongMm },
  { name: 'Across it', unit: 'mm', of: ({ acrossMm }) => acrossMm },
  { name: 'Area', unit: 'cm²', of: ({ areaMm2 }) => areaMm2 / 100 },
];

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
      <table className={`before-after${isStale ? ' is-stale' : ''}`}>
        <thead>
          <tr>
            <td />
            <th scope="col">now</th>
            <th scope="col">fitted</th>
            <th scope="col">change</th>
          </tr>
        </thead>
        <tbody>
          {ROWS.map(({ name, unit, of }) => (
            <tr key={name}>
              <th scope="row">
                {name} <span className="small">{unit}</span>
              </th>
              <td>{mmWords(of(plan.before))}</td>
              <td>
                <strong>{mmWords(of(plan.after))}</strong>
              </td>
              <td>{signedWords(of(plan.after) - of(plan.before))}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <ActionButton kind="main" wide icon={Check} isDisabled={isStale} onPress={onAccept}>
        Accept the fitted piece
      </ActionButton>
    </PanelPart>
  );
}
