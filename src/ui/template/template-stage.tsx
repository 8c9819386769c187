import { FileDown, Printer } from 'lucide-react';
import { useCallback, useMemo, useState } from 'react';
import { success } from '../../outcome.ts';
import type { TemplateLayout } from '../../template/sheet-types.ts';
import type { TemplateInput } from '../../template/template-input.ts';
import { useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Notice } from '../controls/notice.tsx';
import { goToStage } from '../desk.ts';
import { engine } from '../engine.ts';
import { PagesDrawing } from '../drawings/stage-drawings.tsx';
import { type Ask, useJobResult } from '../job-result.ts';
import { useJob } from '../jobs.ts';
import '../look/making.css';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { PlaneTable } from '../worktable/worktable.tsx';
import { CountsPart } from './counts-part.tsx';
import { PagePart } from './page-part.tsx';
import { CoverPage, SheetPage } from './page-picture.tsx';
import { PrintAdvice } from './cautions.tsx';
import { type ArrangementMode, arrangePages, TITLE_ROOM_MM } from './sheet-arrangement.ts';
import { downloadPdf, downloadSvg, FILE_JOB, openToPrint } from './template-files.ts';
import { SizesPart } from './sizes-part.tsx';
import { cutListWords, printedPieces, type SizeChoice, templateInputOf } from './template-input-of.ts';

const LAYOUT_JOB = 'template-layout';

interface Laid {
  readonly input: TemplateInput;
  readonly layout: TemplateLayout;
}

function useLaidPages(input: TemplateInput) {
  const ask = useCallback<Ask<Laid>>(
    async (call) => {
      const outcome = await engine.templateLayout(input, call);
      return outcome.ok ? success({ input, layout: outcome.value }) : outcome;
    },
    [input],
  );
  return useJobResult(LAYOUT_JOB, 'Laying out the pages', ask);
}

export function TemplateStage() {
  const build = useBuild((build) => build);
  const printed = printedPieces(build);
  if (build.pieces.length === 0) return <NothingTraced />;
  if (printed.length === 0) return <AllLeftOut />;
  return <Pages />;
}

function Pages() {
  const build = useBuild((build) => build);
  const [sizes, setSizes] = useState<SizeChoice>('fitted');
  const input = useMemo(() => templateInputOf(build, sizes), [build, sizes]);
  const { value: laid, isStale, again } = useLaidPages(input);
  const status = <JobStatus jobKey={LAYOUT_JOB} onTryAgain={again} />;
  const [mode, setMode] = useState<ArrangementMode>('apart');
  return (
    <StageFrame
      title="Template"
      lead="True-scale pages to print, join, and cut the foam by."
      table={
        laid ? (
          <PagesTable laid={laid} mode={mode} onMode={setMode} />
        ) : (
          <BareTable drawing={<PagesDrawing />} title="Laying out the pages">
            {status}
          </BareTable>
        )
      }
    >
      <PanelPart>
        <SheetCount layout={laid?.layout} paper={input.pageSetup.paper} isFresh={!isStale} />
        <p className="quiet">{cutListWords(printedPieces(build))}</p>
        {laid && status}
        {laid?.layout.warnings.map(({ code, message }) => (
          <Notice key={code} tone="look">
            <p>{message}</p>
          </Notice>
        ))}
        <Files input={input} />
      </PanelPart>
      {build.sizeRange && <SizesPart range={build.sizeRange} value={sizes} onChange={setSizes} />}
      <PagePart />
      <CountsPart />
      <PanelPart>
        <PrintAdvice />
      </PanelPart>
    </StageFrame>
  );
}

function PagesTable({
  laid: { input, layout },
  mode,
  onMode,
}: {
  readonly laid: Laid;
  readonly mode: ArrangementMode;
  readonly onMode: (mode: ArrangementMode) => void;
}) {
  const { spots, boundsMm } = useMemo(() => arrangePages(layout, mode), [layout, mode]);
  // Titles hang over the papers' upper edges.
  const bounds = { ...boundsMm, maxY: boundsMm.maxY + TITLE_ROOM_MM };
  const { frame, sheets } = layout;
  return (
    <PlaneTable
      label={`The template's pages: ${layout.pageCount} in all`}
      fitKey={`${mode} ${input.pageSetup.paper} ${layout.pageCount}`}
      boundsMm={bounds}
      overlay={
        <Choice
          label="How the pages lie"
          options={[
            { id: 'apart', words: 'Pages' },
            { id: 'taped', words: 'Joined' },
          ]}
          value={mode}
          onChange={onMode}
        />
      }
    >
      {spots.map(({ sheet, pageNumber, at }) =>
        sheet === undefined ? (
          <CoverPage key={pageNumber} frame={frame} at={at} pageNumber={pageNumber} />
        ) : (
          <SheetPage key={pageNumber} frame={frame} sheet={sheets[sheet]!} pieces={input.pieces} at={at} />
        ),
      )}
    </PlaneTable>
  );
}

function SheetCount({
  layout,
  paper,
  isFresh,
}: {
  readonly layout: TemplateLayout | undefined;
  readonly paper: string;
  readonly isFresh: boolean;
}) {
  return (
    <div className={`measure${isFresh ? '' : ' is-stale'}`}>
      <div className="measure-label">Sheets of {paper}</div>
      <div className="measure-value">
        <span>{layout ? layout.pageCount : '–'}</span>
        <span className="measure-tolerance measure-words">
          {layout && `${layout.sheets.length} with pieces, ${layout.coverPageCount} to explain`}
        </span>
      </div>
    </div>
  );
}

function Files({ input }: { readonly input: TemplateInput }) {
  const isBusy = useJob(FILE_JOB) !== undefined;
  return (
    <>
      <ActionButton
        kind="main"
        wide
        icon={FileDown}
        isDisabled={isBusy}
        onPress={() => void downloadPdf(input)}
      >
        Template PDF
      </ActionButton>
      <div className="two-up">
        <ActionButton icon={Printer} isDisabled={isBusy} onPress={() => void openToPrint(input)}>
          Print
        </ActionButton>
        <ActionButton icon={FileDown} isDisabled={isBusy} onPress={() => void downloadSvg(input)}>
          SVG
        </ActionButton>
      </div>
      <JobStatus jobKey={FILE_JOB} />
    </>
  );
}

function NothingTraced() {
  return (
    <StageFrame
      title="Template"
      lead="Nothing to print yet."
      table={
        <BareTable drawing={<PagesDrawing />} title="The pieces go onto pages, in true millimetres">
          <p>
            Photograph your mock-up first. Every piece found in the photo is laid on sheets that your printer
            can take.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            Go to Capture
          </ActionButton>
        </BareTable>
      }
    >
      <PagePart />
    </StageFrame>
  );
}

function AllLeftOut() {
  return (
    <StageFrame
      title="Template"
      lead="Every piece is left out or cut no times."
      table={
        <BareTable drawing={<PagesDrawing />} title="No piece to print">
          <p>Tick a piece in the list, and set how often it is cut.</p>
        </BareTable>
      }
    >
      <CountsPart />
      <PagePart />
    </StageFrame>
  );
}
