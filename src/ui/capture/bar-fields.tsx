import { useState } from 'react';
import { LIMITS } from '../../build/limits.ts';
import type { PrinterCheck } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { TextLine } from '../controls/text-line.tsx';

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
      <div className="two-up">
        <MmField
          label="Bar across"
          value={acrossMm}
          onChange={setAcross}
          {...LIMITS.checkAcrossMm}
          digits={2}
          hasSteps={false}
        />
        <MmField
          label="Bar along"
          value={alongMm}
          onChange={setAlong}
          {...LIMITS.checkAlongMm}
          digits={2}
          hasSteps={false}
        />
      </div>
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
