import { Check, Scissors } from 'lucide-react';
import { useState } from 'react';
import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Tick } from '../controls/tick.tsx';
import { countWords } from '../controls/number-words.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { stretchSizeWords, stretchWords } from './change-words.ts';

export const ACCEPT_JOB = 'accept-refit';

interface AcceptPartProps {
  readonly comparison: RevisionComparison;
  /** Ids of what is taken over; all of the new edge when undefined. */
  readonly onAccept: (accepted: readonly string[] | undefined) => void;
}

interface Row {
  readonly id: string;
  readonly words: string;
  readonly note: string;
}

function rowsOf({ stretches, goneOpenings, newOpenings }: RevisionComparison): Row[] {
  return [
    ...stretches.map((stretch) => ({
      id: stretch.id,
      words: stretchWords(stretch),
      note: stretchSizeWords(stretch),
    })),
    ...goneOpenings.map((id) => ({ id, words: 'An opening is gone', note: 'closed in the mock-up' })),
    ...newOpenings.map((id) => ({ id: `new/${id}`, words: 'A new opening', note: 'cut into the mock-up' })),
  ];
}

/** What of the mock-up becomes the next revision. */
export function AcceptPart({ comparison, onAccept }: AcceptPartProps) {
  const rows = rowsOf(comparison);
  /** Everything is taken unless it was left out. */
  const [leftOut, setLeftOut] = useState<readonly string[]>([]);
  const taken = rows.filter(({ id }) => !leftOut.includes(id)).map(({ id }) => id);
  if (rows.length === 0) return null;
  return (
    <PanelPart title="Take it over" icon={Scissors}>
      <ul className="count-list">
        {rows.map(({ id, words, note }) => (
          <li key={id}>
            <Tick
              isOn={!leftOut.includes(id)}
              label={`${words}, ${note}`}
              onChange={(isOn) =>
                setLeftOut(isOn ? leftOut.filter((other) => other !== id) : [...leftOut, id])
              }
            >
              {words}
            </Tick>
            <p className="small quiet tick-note">{note}</p>
          </li>
        ))}
      </ul>
      <p className="small quiet">
        The edge beside the ticked places stays as it was; inner lines, marks and the fold line are carried
        along.
      </p>
      <ActionButton
        kind="main"
        wide
        icon={Check}
        isDisabled={taken.length === 0}
        onPress={() => onAccept(taken)}
      >
        {taken.length === rows.length
          ? 'Accept these changes'
          : `Accept ${countWords(taken.length, 'change')}`}
      </ActionButton>
      <ActionButton wide onPress={() => onAccept(undefined)}>
        Accept the whole new edge
      </ActionButton>
      <JobStatus jobKey={ACCEPT_JOB} />
    </PanelPart>
  );
}
