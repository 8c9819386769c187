import { PenOff } from 'lucide-react';
import { keepLooseLines, refuseLooseLine } from '../../build/commands/drawn-lines.ts';
import type { Recipe } from '../../build/store.ts';
import type { CaptureRecord } from '../../build/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';

const WAYS = [
  { id: 'left', words: 'Leave out' },
  { id: 'kept', words: 'Keep' },
] as const;

interface LoosePartProps {
  readonly record: CaptureRecord;
  readonly again: (label: string, recipe: Recipe) => void;
}

/** The lines outside every outline, numbered as on the photo: left out, or kept but for those said no to. */
export function LoosePart({ record, again }: LoosePartProps) {
  const { id: captureId, looseLines = [], drawn } = record;
  if (looseLines.length === 0) return null;
  const areKept = drawn?.keptLoose !== undefined;
  return (
    <PanelPart title="Lines outside the outlines" icon={PenOff}>
      <Choice
        label="Lines outside the outlines"
        options={WAYS}
        value={areKept ? 'kept' : 'left'}
        onChange={(way) =>
          again(way === 'kept' ? 'Keep loose lines' : 'Leave loose lines out', (build) =>
            keepLooseLines(build, { captureId, areKept: way === 'kept' }),
          )
        }
      />
      <p className="small quiet">
        They belong to no closed outline. Kept, each becomes a score line of the piece nearest to it. A line
        that should close an outline needs a larger gap bridged.
      </p>
      <ol className="gap-list">
        {looseLines.map(({ lengthMm, middlePx, isKept }, index) => (
          <li key={`${middlePx.u} ${middlePx.v}`} className="gap-row">
            <span>
              Line {index + 1}: {mmWords(lengthMm)} mm, {isKept ? 'kept' : 'left out'}
            </span>
            {isKept && (
              <ActionButton
                kind="quiet"
                aria-label={`Leave line ${index + 1} out`}
                onPress={() =>
                  again('Leave a loose line out', (build) => refuseLooseLine(build, { captureId, middlePx }))
                }
              >
                Leave out
              </ActionButton>
            )}
          </li>
        ))}
      </ol>
      {(drawn?.keptLoose?.refused.length ?? 0) > 0 && (
        <ActionButton
          kind="quiet"
          onPress={() =>
            again('Keep all loose lines', (build) => keepLooseLines(build, { captureId, areKept: true }))
          }
        >
          Keep all of them again
        </ActionButton>
      )}
    </PanelPart>
  );
}
