import { Printer as PrinterIcon } from 'lucide-react';
import { useState } from 'react';
import type { Printer } from '../../build/types.ts';
import type { PrinterCheck } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { BarFields } from './bar-fields.tsx';
import { printerWords } from './printer-words.ts';

interface PrinterPartProps {
  readonly printers: readonly Printer[];
  readonly chosenId: string | undefined;
  readonly onChoose: (printerId: string | undefined) => void;
  readonly onAdd: (name: string, check: PrinterCheck) => void;
}

/** The printer that made the cards in the photos. */
export function PrinterPart({ printers, chosenId, onChoose, onAdd }: PrinterPartProps) {
  const [isAdding, setAdding] = useState(false);
  return (
    <PanelPart title="Printer of the cards" icon={PrinterIcon}>
      <fieldset className="pick-list">
        <legend className="only-read-aloud">Printer of the cards</legend>
        {[undefined, ...printers].map((printer) => (
          <label key={printer?.id ?? 'none'} className="pick">
            <input
              type="radio"
              name="card-printer"
              checked={printer?.id === chosenId}
              onChange={() => onChoose(printer?.id)}
            />
            <span>
              {printer?.name ?? 'Not measured'}
              <span className="small quiet">
                <br />
                {printer ? printerWords(printer.check) : 'taken as true to size; the tolerance allows for it'}
              </span>
            </span>
          </label>
        ))}
      </fieldset>
      {isAdding ? (
        <BarFields
          suggestedName={`Printer ${printers.length + 1}`}
          onCancel={() => setAdding(false)}
          onKeep={(name, check) => {
            setAdding(false);
            onAdd(name, check);
          }}
        />
      ) : (
        <ActionButton onPress={() => setAdding(true)}>Enter the two bars</ActionButton>
      )}
    </PanelPart>
  );
}
