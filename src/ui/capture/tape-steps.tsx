import { X } from 'lucide-react';
import { useState } from 'react';
import { LIMITS } from '../../build/limits.ts';
import type { Capture, CardMark, TapeDistance } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { allMarks, markWords, spanBetween } from './marks.ts';

/** A tape read by eye is good to half a millimetre. */
const TAPE_DOUBT_MM = 0.5;

/** How far picking a taped distance has come. */
export interface TapePick {
  readonly from?: CardMark;
  readonly to?: CardMark;
}

interface TapeStepsProps {
  readonly capture: Capture;
  readonly pick: TapePick;
  readonly onPick: (pick: TapePick | undefined) => void;
  readonly onDone: (tape: TapeDistance) => void;
}

/** What to do next, in words. */
function nextStep({ from, to }: TapePick): string {
  if (!from) return 'Tap the first mark on the photo, or choose it here.';
  if (!to) return 'Now the second mark.';
  return 'Lay the tape from point to point and read it.';
}

/** Two marks, tapped on the photo or chosen from the list, and what the tape says between them. */
export function TapeSteps({ capture, pick, onPick, onDone }: TapeStepsProps) {
  const { from, to } = pick;
  const [lengthMm, setLengthMm] = useState<number | undefined>(undefined);
  const span = from && to && spanBetween(capture, from, to);
  return (
    <div className="stack">
      <p role="status">{nextStep(pick)}</p>
      <MarkField
        label="First mark"
        capture={capture}
        value={from}
        other={to}
        onChange={(mark) => onPick({ ...pick, from: mark })}
      />
      {from && (
        <MarkField
          label="Second mark"
          capture={capture}
          value={to}
          other={from}
          onChange={(mark) => onPick({ from, to: mark })}
        />
      )}
      {from && to && (
        <MmField
          label="What the tape says"
          value={lengthMm}
          onChange={setLengthMm}
          {...LIMITS.tapeLengthMm}
          {...(span && { help: `About ${mmWords(span.lengthMm, 0)} mm by the photo so far.` })}
        />
      )}
      <div className="row">
        {from && to && (
          <ActionButton
            kind="main"
            isDisabled={lengthMm === undefined}
            onPress={() => lengthMm !== undefined && onDone({ from, to, lengthMm, doubtMm: TAPE_DOUBT_MM })}
          >
            Use it
          </ActionButton>
        )}
        <ActionButton kind="quiet" icon={X} onPress={() => onPick(undefined)}>
          Cancel
        </ActionButton>
      </div>
    </div>
  );
}

interface MarkFieldProps {
  readonly label: string;
  readonly capture: Capture;
  readonly value: CardMark | undefined;
  /** Picked already at the other end. */
  readonly other: CardMark | undefined;
  readonly onChange: (mark: CardMark) => void;
}

function MarkField({ label, capture, value, other, onChange }: MarkFieldProps) {
  const marks = new Map(allMarks(capture).map((mark) => [markWords(mark), mark]));
  if (other) marks.delete(markWords(other));
  return (
    <PickFrom
      label={label}
      options={[...marks.keys()].map((words) => ({ id: words, words }))}
      value={value && markWords(value)}
      onChange={(words) => onChange(marks.get(words)!)}
    />
  );
}
