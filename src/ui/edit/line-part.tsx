import { CircleDot, Link2, Repeat2, Scissors, Trash2 } from 'lucide-react';
import { useMemo } from 'react';
import { Radio, RadioGroup } from 'react-aria-components';
import { lineWithId } from '../../geometry/edit/edited.ts';
import { LINE_STYLES } from '../../geometry/line-kinds.ts';
import { pathLengthMm } from '../../geometry/measure.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Figures } from '../controls/figures.tsx';
import { mmWords } from '../controls/number-words.ts';
import { usePalette } from '../look/palette.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { lineColor } from '../worktable/plane-shapes.tsx';
import { close, join, pickedLineId, removeLine, reverse, setKind, split } from './edit-actions.ts';
import { KINDS } from './edit-keys.ts';
import { useLines, usePicks, useSitting } from './sitting.ts';

/** The legend of line kinds, which also sets that of the picked line, and the verbs on whole lines. */
export function LinePart() {
  const sitting = useSitting();
  const lines = useLines();
  const picks = usePicks();
  const lineId = pickedLineId(picks);
  const line = lineId === undefined ? undefined : lineWithId(lines, lineId);
  const lengthMm = useMemo(() => line && pathLengthMm(line.path), [line]);
  return (
    <PanelPart title="Kind of line">
      <RadioGroup
        className="kind-list"
        aria-label="Kind of line"
        value={line?.kind ?? null}
        isDisabled={!line}
        onChange={(value) => {
          const kind = KINDS.find((one) => one === value);
          if (kind) setKind(sitting, kind);
        }}
      >
        {KINDS.map((kind, i) => (
          <Radio key={kind} value={kind} className="kind-option">
            <KindSwatch kind={kind} />
            <span>{LINE_STYLES[kind].label}</span>
            <kbd aria-hidden="true">{i + 1}</kbd>
          </Radio>
        ))}
      </RadioGroup>
      {line && lengthMm !== undefined && (
        <Figures
          rows={[
            [line.path.closed ? 'Closed line, all round' : 'Open line', `${mmWords(lengthMm, 2)} mm`],
            ['Lines of the piece', String(lines.length)],
          ]}
        />
      )}
      {line && (
        <div className="row">
          <ActionButton icon={Scissors} onPress={() => split(sitting)}>
            {line.path.closed ? 'Open here' : 'Split here'}
          </ActionButton>
          {picks.length === 2 && (
            <ActionButton icon={Link2} onPress={() => join(sitting)}>
              Join ends
            </ActionButton>
          )}
          {!line.path.closed && (
            <ActionButton icon={CircleDot} onPress={() => close(sitting)}>
              Close line
            </ActionButton>
          )}
          <ActionButton icon={Repeat2} onPress={() => reverse(sitting)}>
            Reverse
          </ActionButton>
          <ActionButton icon={Trash2} onPress={() => removeLine(sitting)}>
            Delete line
          </ActionButton>
        </div>
      )}
      {!line && picks.length === 2 && (
        <div className="row">
          <ActionButton icon={Link2} onPress={() => join(sitting)}>
            Join ends
          </ActionButton>
        </div>
      )}
    </PanelPart>
  );
}

/** A short piece of a line in its dash and colour. */
function KindSwatch({ kind }: { readonly kind: (typeof KINDS)[number] }) {
  const palette = usePalette();
  const { dashMm } = LINE_STYLES[kind];
  return (
    <svg className="kind-swatch" viewBox="0 0 56 12" aria-hidden="true">
      <path
        d="M2 6H54"
        stroke={lineColor(kind, palette)}
        strokeWidth="2.5"
        strokeDasharray={dashMm.map((mm) => mm * 2.4).join(' ')}
      />
    </svg>
  );
}
