import { FileDown, Ruler, Trash2 } from 'lucide-react';
import { useState } from 'react';
import type { PrinterCheck } from '../../capture/types.ts';
import { printerWords } from '../capture/printer-words.ts';
import { BarFields } from '../capture/bar-fields.tsx';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { download } from '../download.ts';
import { Card, Drawing } from '../drawings/drawing.tsx';
import { engine } from '../engine.ts';
import { runJob } from '../jobs.ts';
import { PrinterPhoto } from './printer-photo.tsx';
import { forgetPrinter, keepPrinter, useKeptPrinters } from '../kept-printers.ts';

const CARD_PAGES = 'card pages';

async function savePages(paper: 'A4' | 'Letter'): Promise<void> {
  const bytes = await runJob(CARD_PAGES, 'Drawing the scale cards', (progress, signal) =>
    engine.scaleCardPages(paper, { progress, signal }),
  );
  if (bytes) download(`foamwright-scale-cards-${paper}.pdf`, bytes, 'application/pdf');
}

/** Scale cards to print, and the printers whose check bars have been measured. */
export function CardPages() {
  const printers = useKeptPrinters();
  const [isAdding, setAdding] = useState(false);
  const suggestedName = printers.length === 0 ? 'My printer' : `Printer ${printers.length + 1}`;
  const keep = (name: string, check: PrinterCheck) => {
    keepPrinter({ id: crypto.randomUUID(), name, check });
    setAdding(false);
  };
  return (
    <section className="start-cards" aria-labelledby="card-pages">
      <Drawing viewBox="0 0 110 100">
        <Card x={34} y={36} turn={0} />
        <Card x={76} y={66} turn={24} />
      </Drawing>
      <div className="start-part">
        <h2 id="card-pages">Print scale cards</h2>
        <p>
          Print both pages at 100 %, never “fit to page”, cut the cards out, and scatter four to six of them
          round the mock-up. They tell the camera’s place and the true size of everything beside them.
        </p>
        <div className="row">
          <ActionButton icon={FileDown} onPress={() => void savePages('A4')}>
            Scale cards, A4
          </ActionButton>
          <ActionButton icon={FileDown} onPress={() => void savePages('Letter')}>
            Scale cards, Letter
          </ActionButton>
        </div>
        <JobStatus jobKey={CARD_PAGES} />
        <h3>Your printers</h3>
        {printers.length === 0 && (
          <p className="quiet">
            Printers stretch or shrink pages by up to a per cent or two. Measure the two bars on the printed
            page once, and every photo is corrected for it.
          </p>
        )}
        {printers.length > 0 && (
          <ul className="stack">
            {printers.map((printer) => (
              <li key={printer.id} className="row">
                <span>
                  {printer.name}
                  <span className="small quiet">: {printerWords(printer.check)}</span>
                </span>
                <ActionButton
                  kind="quiet"
                  icon={Trash2}
                  aria-label={`Forget ${printer.name}`}
                  onPress={() => forgetPrinter(printer.id)}
                >
                  Forget
                </ActionButton>
              </li>
            ))}
          </ul>
        )}
        {isAdding ? (
          <div className="start-bars">
            <BarFields suggestedName={suggestedName} onCancel={() => setAdding(false)} onKeep={keep} />
          </div>
        ) : (
          <div className="row">
            <ActionButton icon={Ruler} onPress={() => setAdding(true)}>
              Enter the two bars
            </ActionButton>
          </div>
        )}
        <PrinterPhoto key={printers.length} suggestedName={suggestedName} onKeep={keep} />
      </div>
    </section>
  );
}
