import { useState } from 'react';
import type { PrinterCheck } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { BarPair } from './bar-pair.tsx';

interface BarFieldsProps {
  readonly onKeep: (name: string, check: PrinterCheck) => void;
  readonly onCancel?: () => void;
  readonly suggestedName: string;
}

/** The two check bars of the card page, as measured with a ruler, kept under the printer's name. */
export function BarFields({ onKeep, onCancel, suggestedName }: BarFieldsProps) {
  const [name, setName] = useState(suggestedName);
  const [acrossMm, setAcross] = useState<number | undefined>(undefined);
  const [alongMm, setAlong] = useState<number | undefined>(undefined);
  const isReady = acrossMm !== undefined && alongMm !== undefined;
  return (
    <div className="stack">
      <p className="small quiet">
        Measure both bars on the printed card page with a steel ruler, as finely as it can be read.
      </p>
      <BarPair acrossMm={acrossMm} alongMm={alongMm} onAcross={setAcross} onAlong={setAlong} />
      <TextLine label="Name of the printer" value={name} onChange={setName} />
      <div className="row">
        <ActionButton
          kind="main"
          isDisabled={!isReady}
          onPress={() => isReady && onKeep(name, { acrossMm, alongMm })}
        >
          Keep
        </ActionButton>
        {onCancel && (
          <ActionButton kind="quiet" onPress={onCancel}>
            Cancel
          </ActionButton>
        )}
      </div>
    </div>
  );
}
