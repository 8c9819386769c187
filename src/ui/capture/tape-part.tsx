import { Ruler, Trash2 } from 'lucide-react';
import type { Capture, TapeDistance } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { markWords, spanBetween } from './marks.ts';
import { type TapePick, TapeSteps } from './tape-steps.tsx';

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
        <TapeSteps
          capture={capture}
          pick={pick}
          onPick={onPick}
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
