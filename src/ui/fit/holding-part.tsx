import { Hand } from 'lucide-react';
import { LIMITS } from '../../build/limits.ts';
import { easeNotes, type Hold, HOLDINGS, HOLDS, tightestEaseMm } from '../../fit/holding.ts';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { Notice } from '../controls/notice.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { signedWords } from './signed-words.ts';

interface HoldingPartProps {
  readonly girthMm: number;
  readonly easeMm: number;
  readonly hold: Hold | undefined;
  /** How many pieces it is said of. */
  readonly pieceCount: number;
  readonly onChange: (words: string, holding: { readonly hold?: Hold; readonly easeMm: number }) => void;
}

/** What keeps the headpiece on, and how loosely it sits for that. */
export function HoldingPart({ girthMm, easeMm, hold, pieceCount, onChange }: HoldingPartProps) {
  const holding = hold && HOLDINGS[hold];
  // Pressure has a limit; what was kept tighter before is shown, and told.
  const min = hold === 'tension' ? Math.min(easeMm, tightestEaseMm(girthMm)) : LIMITS.easeMm.min;
  return (
    <PanelPart title="How it stays on" icon={Hand}>
      <Choice
        label="What keeps it on"
        options={HOLDS.map((id) => ({ id, words: HOLDINGS[id].words }))}
        value={hold ?? ('' as Hold)}
        onChange={(next) => onChange('What keeps it on', { hold: next, easeMm: HOLDINGS[next].usualEaseMm })}
      />
      <div className="field-rows">
        <MmField
          label="Ease"
          digits={0}
          min={min}
          max={LIMITS.easeMm.max}
          value={easeMm}
          onChange={(next) => onChange('Ease', { ...(hold && { hold }), easeMm: next })}
        />
      </div>
      <p className="small quiet">
        {holding
          ? `${holding.note} Usual ease ${signedWords(holding.usualEaseMm).replace(/[.,]0$/u, '')} mm: common practice, no source.`
          : 'Ease is the slack round the whole head: room for hair and air above 0, held on by pressure below 0.'}
        {pieceCount > 1 && ` It holds for all ${pieceCount} pieces that go round together.`}
      </p>
      {easeNotes(girthMm, easeMm, hold).map((note) => (
        <Notice key={note} tone="look">
          <p>{note}</p>
        </Notice>
      ))}
    </PanelPart>
  );
}
