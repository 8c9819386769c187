import { type PageSetupChange, setPageSetup } from '../../build/commands/build-setup.ts';
import type { PaperName } from '../../build/types.ts';
import { change, useBuild } from '../bench.ts';
import { printerWords } from '../capture/printer-words.ts';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';

const PAPERS: readonly { readonly id: PaperName; readonly words: string }[] = [
  { id: 'A4', words: 'A4' },
  { id: 'Letter', words: 'Letter' },
  { id: 'A3', words: 'A3' },
  { id: 'Tabloid', words: 'Tabloid' },
];

/** Stands for "no printer measured" in the list of printers. */
const NO_PRINTER = 'none';

function setUp(words: string, pages: PageSetupChange): void {
  change(words, (build) => setPageSetup(build, pages));
}

/** Paper, margin, overlap, and whose printer it goes to. */
export function PagePart() {
  const { paper, marginMm, overlapMm, printerId } = useBuild((build) => build.pageSetup);
  const printers = useBuild((build) => build.printers);
  return (
    <PanelPart title="Pages">
      <Choice
        label="Paper"
        options={PAPERS}
        value={paper}
        onChange={(next) => setUp(`Paper ${next}`, { paper: next })}
      />
      <div className="field-rows">
        <MmField
          label="Margin"
          value={marginMm}
          min={0}
          max={40}
          digits={0}
          onChange={(next) => setUp('Page margin', { marginMm: next })}
        />
        <MmField
          label="Overlap"
          value={overlapMm}
          min={0}
          max={40}
          digits={0}
          onChange={(next) => setUp('Page overlap', { overlapMm: next })}
        />
      </div>
      <p className="small quiet">
        Printers leave up to 4 mm of the edge white. An overlap of 10 mm is common practice; 0 lays sheets
        edge to edge.
      </p>
      <PickFrom
        label="Printer"
        options={[
          { id: NO_PRINTER, words: 'Not measured: print as it is' },
          ...printers.map(({ id, name, check }) => ({ id, words: name, note: printerWords(check) })),
        ]}
        value={printerId ?? NO_PRINTER}
        onChange={(id) => setUp('Template printer', { printerId: id === NO_PRINTER ? undefined : id })}
      />
      {printers.length === 0 && (
        <p className="small quiet">
          Measure the check bars of a card page in Capture, and the template is corrected for that printer.
        </p>
      )}
    </PanelPart>
  );
}
