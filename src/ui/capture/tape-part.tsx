import { Ruler, Trash2, X } from 'lucide-react';
import { useState } from 'react';
import type { Capture, CardMark, TapeDistance } from '../../capture/types.ts';
import { LIMITS } from '../../build/limits.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { markWords, spanBetween } from './marks.ts';

/** A tape read by eye is good to half a millimetre. */
const TAPE_DOUBT_MM = 0.5;

/** How far picking a taped distance on the photo has come. */
export interface TapePick {
  readonly from?: CardMark;
  readonly to?: CardMark;
}

interface TapePartProps {
  readonly capture: Capture;
  readonly tapes: readonly TapeDistance[];
  readonly pick: TapePick | undefined;
  readonly onPick: (pick: TapePick | undefined) => void;
  readonly onTapes: (tapes: readonly TapeDistance[]) => void;
}

/** Distances that the maker taped between two marks: they settle the printer's scale. */
export function TapePart({ capture, tapes, pick, onPick, onTapes }: TapePartProps) {
  return (
    <PanelPart title="Taped distance" icon={Ruler}>
      {tapes.length === 0 && !pick && (
        <p className="quiet">
          A tape laid between marks of two opposite cards settles the printer&rsquo;s scale. It is the surest
          single check.
        </p>
      )}
      {tapes.length > 0 && (
        <ul className="stack">
          {tapes.map((tape, index) => (
            <TapeRow
              key={`${markWords(tape.from)} ${markWords(tape.to)}`}
              capture={capture}
              tape={tape}
              onRemove={() => onTapes(tapes.filter((_, other) => other !== index))}
            />
          ))}
        </ul>
      )}
      {pick ? (
        <PickSteps
          capture={capture}
          pick={pick}
          onCancel={() => onPick(undefined)}
          onDone={(tape) => {
            onPick(undefined);
            onTapes([...tapes, tape]);
          }}
        />
      ) : (
        <ActionButton onPress={() => onPick({})}>Measure from mark to mark</ActionButton>
      )}
    </PanelPart>
  );
}

interface TapeRowProps {
  readonly capture: Capture;
  readonly tape: TapeDistance;
  readonly onRemove: () => void;
}

function TapeRow({ capture, tape, onRemove }: TapeRowProps) {
  const solved = spanBetween(capture, tape.from, tape.to);
  return (
    <li className="row">
      <span>
        {mmWords(tape.lengthMm)} mm taped
        <span className="small quiet">
          <br />
          {markWords(tape.from)} to {markWords(tape.to)}
          {solved && `; the photo now says ${mmWords(solved.lengthMm)} mm`}
        </span>
      </span>
      <span className="row-end">
        <ActionButton kind="quiet" icon={Trash2} onPress={onRemove}>
          Remove
        </ActionButton>
      </span>
    </li>
  );
}

interface PickStepsProps {
  readonly capture: Capture;
  readonly pick: TapePick;
  readonly onCancel: () => void;
  readonly onDone: (tape: TapeDistance) => void;
}

function PickSteps({ capture, pick: { from, to }, onCancel, onDone }: PickStepsProps) {
  const [lengthMm, setLengthMm] = useState<number | undefined>(undefined);
  const span = from && to && spanBetween(capture, from, to);
  return (
    <div className="stack" role="status">
      {!from && <p>Tap the first mark on the photo.</p>}
      {from && !to && <p>From {markWords(from)}. Now tap the second mark.</p>}
      {from && to && (
        <>
          <p>
            From {markWords(from)} to {markWords(to)}.
          </p>
          <MmField
            label="What the tape says"
            value={lengthMm}
            onChange={setLengthMm}
            min={LIMITS.tapeLengthMm.min}
            max={LIMITS.tapeLengthMm.max}
            {...(span && { help: `About ${mmWords(span.lengthMm, 0)} mm by the photo so far.` })}
          />
        </>
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
        <ActionButton kind="quiet" icon={X} onPress={onCancel}>
          Cancel
        </ActionButton>
      </div>
    </div>
  );
}
