import { Check, Equal } from 'lucide-react';
import type { Mended, MendMode } from '../../mirror/mend.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Measure } from '../controls/measure.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { Notice } from '../controls/notice.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';

export const MEND_JOB = 'mend';

/** `leave` keeps the piece as it is. */
export type MendChoice = MendMode | 'leave';

const OPTIONS: readonly { readonly id: MendChoice; readonly words: string }[] = [
  { id: 'leave', words: 'Leave' },
  { id: 'keep-left', words: 'Left' },
  { id: 'keep-right', words: 'Right' },
  { id: 'average', words: 'Average' },
];

const RESULT_WORDS: Readonly<Record<MendMode, string>> = {
  'keep-left': 'The right half becomes the mirror image of the left.',
  'keep-right': 'The left half becomes the mirror image of the right.',
  average: 'Both halves meet half-way.',
};

const PLACE_WORDS: Readonly<Record<MendMode, string>> = {
  'keep-left': 'There the right half becomes the mirror image of the left; the rest stays as it is.',
  'keep-right': 'There the left half becomes the mirror image of the right; the rest stays as it is.',
  average: 'There both halves meet half-way; the rest stays as it is.',
};

const WHOLE = 'whole';

/** What a mended revision is called. */
export const MEND_WHY: Readonly<Record<MendMode, string>> = {
  'keep-left': 'right half made like the left',
  'keep-right': 'left half made like the right',
  average: 'averaged halves',
};

interface MendPartProps {
  /** The places over the limit, in words. */
  readonly places: readonly string[];
  /** Number of the place that is mended alone; undefined for the whole piece. */
  readonly place: number | undefined;
  readonly onPlace: (place: number | undefined) => void;
  readonly choice: MendChoice;
  readonly onChoice: (choice: MendChoice) => void;
  /** What the choice makes of the piece, once it is known. */
  readonly mended: Mended | undefined;
  readonly onAccept: (mended: Mended, mode: MendMode) => void;
}

/** Makes both halves alike; what it changes is shown before it is accepted. */
export function MendPart(props: MendPartProps) {
  const { places, place, onPlace, choice, onChoice, mended, onAccept } = props;
  return (
    <PanelPart title="Make both halves alike" icon={Equal}>
      <Choice label="Which half to keep" options={OPTIONS} value={choice} onChange={onChoice} />
      {choice !== 'leave' && places.length > 0 && (
        <PickFrom
          label="Where"
          options={[
            { id: WHOLE, words: 'the whole piece' },
            ...places.map((words, index) => ({ id: `${index}`, words: `only place ${index + 1}: ${words}` })),
          ]}
          value={place === undefined ? WHOLE : `${place}`}
          onChange={(id) => onPlace(id === WHOLE ? undefined : Number(id))}
        />
      )}
      {choice === 'leave' ? (
        <p className="small quiet">
          Uneven on purpose? Leave it. Otherwise keep the better half, or let both meet half-way.
        </p>
      ) : (
        <p className="small quiet">
          {place === undefined ? RESULT_WORDS[choice] : PLACE_WORDS[choice]} The dotted line on the table is
          the piece as it is now.
        </p>
      )}
      {choice !== 'leave' && <JobStatus jobKey={MEND_JOB} />}
      {choice !== 'leave' && mended && (
        <>
          <Measure label="Moves the edge by at most" valueMm={mended.maxMm} />
          <p className="quiet">
            {mmWords(mended.meanMm, 2)} mm on average
            {mended.changes.length > 1 && `, ${mended.changes.length} lines move`}.
          </p>
          {mended.notes.map(({ message }) => (
            <Notice key={message} tone="look">
              <p>{message}</p>
            </Notice>
          ))}
          <ActionButton kind="main" wide icon={Check} onPress={() => onAccept(mended, choice)}>
            Accept the mended piece
          </ActionButton>
        </>
      )}
    </PanelPart>
  );
}
