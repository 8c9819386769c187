import { Crosshair, ScanLine } from 'lucide-react';
import { lazy, Suspense, useEffect, useState } from 'react';
import { statedTolerance } from '../../stated-tolerance.ts';
import { type PrintFinding, printSize, type PrintSize } from '../../capture/verify-printer.ts';
import type { BankCardReference, PrinterCheck } from '../../capture/types.ts';
import type { OpenedPhoto } from '../../worker/protocol.ts';
import { chooseFiles } from '../choose-files.ts';
import { BarPair } from '../capture/bar-pair.tsx';
import type { Pointing } from '../capture/pointing.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Figures } from '../controls/figures.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { StatedNote } from '../controls/measure.tsx';
import { Notice } from '../controls/notice.tsx';
import { degreeWords, percentWords, residualWords } from '../controls/number-words.ts';
import { Tick } from '../controls/tick.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { engine } from '../engine.ts';
import { PHOTO_TYPES } from '../intake.ts';
import { dismissFailure, runJob, useJob } from '../jobs.ts';

// The worktable is loaded only when there is something to point at.
const CardOnPagePhoto = lazy(async () => ({
  default: (await import('./card-on-page-photo.tsx')).CardOnPagePhoto,
}));

const PRINTER_PHOTO = 'printer photo';
/** Sharp enough to point at a card's corners. */
const PREVIEW_PX = 2048;

/** Asks for a photo of a card page and opens it; undefined when nothing came of it. */
async function openPage(): Promise<OpenedPhoto | undefined> {
  const [file] = await chooseFiles({ accept: PHOTO_TYPES });
  if (!file) return undefined;
  return runJob(PRINTER_PHOTO, 'Opening the photo', (_, signal) =>
    engine.openPhoto(file, { signal, previewPx: PREVIEW_PX }),
  );
}

function measurePage({ photoKey, facts }: OpenedPhoto, bankCard: BankCardReference | undefined) {
  return runJob(PRINTER_PHOTO, 'Measuring the page', (progress, signal) =>
    engine.checkPrinter(photoKey, facts, bankCard, { progress, signal }),
  );
}

function closePage({ photoKey, preview }: OpenedPhoto): void {
  preview.close();
  engine.closePhoto(photoKey);
}

interface PrinterPhotoProps {
  readonly suggestedName: string;
  readonly onKeep: (name: string, check: PrinterCheck) => void;
}

/** Checks a printer from a photo of an uncut card page; with one bar measured, or a bank card beside it, it can be kept. */
export function PrinterPhoto({ suggestedName, onKeep }: PrinterPhotoProps) {
  const [finding, setFinding] = useState<PrintFinding | undefined>(undefined);
  const [hasBankCard, setBankCard] = useState(false);
  /** The photo, as long as its bank card can be pointed at. */
  const [page, setPage] = useState<OpenedPhoto | undefined>(undefined);
  const [pointing, setPointing] = useState<Pointing | undefined>(undefined);
  useEffect(() => page && (() => closePage(page)), [page]);
  const putAway = () => {
    setFinding(undefined);
    setPointing(undefined);
    setPage(undefined);
    dismissFailure(PRINTER_PHOTO);
  };
  const measure = async (opened: OpenedPhoto, bankCard: BankCardReference | undefined) => {
    setPointing(undefined);
    const found = await measurePage(opened, bankCard);
    if (found) setFinding(found);
  };
  const choose = async () => {
    const opened = await openPage();
    if (!opened) return;
    putAway();
    setPage(opened);
    await measure(opened, hasBankCard ? { kind: 'bank-card' } : undefined);
  };
  const isBusy = useJob(PRINTER_PHOTO) !== undefined;
  return (
    <div className="stack">
      <div className="row">
        <ActionButton icon={ScanLine} onPress={() => void choose()}>
          Check my printer from a photo
        </ActionButton>
      </div>
      {!finding && (
        <p className="small quiet">
          Photograph a printed card page before you cut it, taped down flat, from straight above. The photo
          tells whether it is stretched or skewed; its size needs one bar, measured with a ruler, or a bank
          card lying beside the page.
        </p>
      )}
      {!finding && (
        <Tick isOn={hasBankCard} onChange={setBankCard}>
          A bank card lies beside the page
        </Tick>
      )}
      <JobStatus jobKey={PRINTER_PHOTO} />
      {page && hasBankCard && !pointing && !isBusy && (
        <div className="row">
          <ActionButton
            icon={Crosshair}
            onPress={() => {
              dismissFailure(PRINTER_PHOTO);
              setPointing({ kind: 'bank-card', placesPx: [] });
            }}
          >
            Point at the bank card’s four corners
          </ActionButton>
        </div>
      )}
      {page && pointing && (
        <Suspense fallback={null}>
          <CardOnPagePhoto
            photo={page}
            pointing={pointing}
            onPointing={setPointing}
            onCard={(bankCard) => void measure(page, bankCard)}
          />
        </Suspense>
      )}
      {finding && !pointing && (
        <PrintFound
          finding={finding}
          suggestedName={suggestedName}
          onCancel={putAway}
          onKeep={(name, check) => {
            onKeep(name, check);
            putAway();
          }}
        />
      )}
    </div>
  );
}

const CONTRADICTION_SIGMAS = 3;

function ratioWords({ ratio }: PrintFinding): string {
  const off = ratio.value - 1;
  const doubt = `± ${percentWords(statedTolerance(ratio.tolerance), 2)}`;
  if (Math.abs(off) < statedTolerance(ratio.tolerance)) return `as long as it is along, ${doubt}`;
  return `${percentWords(Math.abs(off), 2)} ${off > 0 ? 'longer' : 'shorter'} than along, ${doubt}`;
}

function skewWords({ skewRad }: PrintFinding): string {
  const doubt = `± ${degreeWords(statedTolerance(skewRad.tolerance), 2)}`;
  if (Math.abs(skewRad.value) < statedTolerance(skewRad.tolerance)) return `none to be seen, ${doubt}`;
  return `${degreeWords(Math.abs(skewRad.value), 2)} to the ${skewRad.value > 0 ? 'right' : 'left'}, ${doubt}`;
}

interface PrintFoundProps extends PrinterPhotoProps {
  readonly finding: PrintFinding;
  readonly onCancel: () => void;
}

/** What the photo says; with a bar, the printer's true size and the way to keep it. */
function PrintFound({ finding, suggestedName, onKeep, onCancel }: PrintFoundProps) {
  const [name, setName] = useState(suggestedName);
  const [acrossMm, setAcross] = useState<number | undefined>(undefined);
  const [alongMm, setAlong] = useState<number | undefined>(undefined);
  const size = printSize(finding, {
    ...(acrossMm !== undefined && { acrossMm }),
    ...(alongMm !== undefined && { alongMm }),
  });
  const { unevenMm, cardIds } = finding;
  return (
    <section className="panel-part" aria-label="What the photo says of the printer">
      <Figures
        rows={[
          ['Across the page it prints', ratioWords(finding)],
          ['Uprights lean', skewWords(finding)],
          [
            'Marks off an even print',
            `${residualWords(unevenMm.rms)}, at most ${residualWords(unevenMm.worst)}`,
          ],
          ['Cards seen', cardIds.join(', ')],
        ]}
      />
      <StatedNote />
      <p className="small quiet">
        {finding.scale
          ? 'The bank card tells how large the page is. A bar measured with a ruler makes it surer.'
          : 'The photo alone cannot tell how large the page is. Measure one of the two bars on it; both are surer still.'}
      </p>
      <BarPair acrossMm={acrossMm} alongMm={alongMm} onAcross={setAcross} onAlong={setAlong} />
      {size && <SizeFound size={size} />}
      <TextLine label="Name of the printer" value={name} onChange={setName} />
      <div className="row">
        <ActionButton kind="main" isDisabled={!size} onPress={() => size && onKeep(name, size.check)}>
          Keep this printer
        </ActionButton>
        <ActionButton kind="quiet" onPress={onCancel}>
          Put away
        </ActionButton>
      </div>
    </section>
  );
}

function SizeFound({ size }: { readonly size: PrintSize }) {
  const { acrossScale, alongScale, barsOffSigmas = 0 } = size;
  const words = ({ value, tolerance }: PrintSize['acrossScale']): string =>
    `${percentWords(value, 2)} ± ${percentWords(statedTolerance(tolerance), 2)}`;
  return (
    <>
      <Figures
        rows={[
          ['Printed at, across', words(acrossScale)],
          ['Printed at, along', words(alongScale)],
        ]}
      />
      {barsOffSigmas > CONTRADICTION_SIGMAS && (
        <Notice tone="look">
          <p>
            The two bars do not agree with the photo, so the size may be wrong by as much as they differ.
            Measure both again, from end line to end line.
          </p>
        </Notice>
      )}
    </>
  );
}
