import { Camera, Image as ImageIcon, ImagePlus, Layers, RotateCw, Trash2 } from 'lucide-react';
import { useState } from 'react';
import { addPrinter, chooseCardPrinter } from '../../build/commands/build-setup.ts';
import { removeCapture, setTapes } from '../../build/commands/captures.ts';
import { isCaptureCurrent } from '../../build/lookups.ts';
import { joinOf } from '../../build/join-lookups.ts';
import type { CaptureRecord } from '../../build/types.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { chooseFiles } from '../choose-files.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Notice } from '../controls/notice.tsx';
import { goToStage } from '../desk.ts';
import { PhotographingDrawing } from '../drawings/photographing.tsx';
import { INTAKE, PHOTO_TYPES, takeIn } from '../intake.ts';
import { stopJob, useJob, useJobFailure } from '../jobs.ts';
import { keepPrinter } from '../kept-printers.ts';
import { measureAll, measurePhoto, measuringKey, useFreshCapture } from '../measuring.ts';
import { PhotoPicker } from '../photo-picker.tsx';
import { usePickedCapture } from '../picked.ts';
import { BareTable, StageFrame } from '../shell/stage-frame.tsx';
import { CaptureTable } from './capture-table.tsx';
import { JoinPart } from './join-part.tsx';
import { JoinTable } from './join-table.tsx';
import { MeasuredPart } from './measured-part.tsx';
import { PrinterPart } from './printer-part.tsx';
import type { Pointing } from './pointing.ts';
import { ReferencePart } from './reference-part.tsx';
import { isMendedByRetaking } from './retake-hints.ts';
import { RetakePart } from './retake-part.tsx';
import { SureInPhoto } from './sure-in-photo.tsx';
import { SurePart } from './sure-part.tsx';
import { TapePart } from './tape-part.tsx';
import type { TapePick } from './tape-steps.tsx';
import { ThicknessPart } from './thickness-part.tsx';
import { useSureness } from './use-sureness.ts';
import { WarningList } from './warning-list.tsx';

const LEAD =
  'The cards, or other things of known size, tell where the camera was, and so how long everything on the table is.';

const JOIN_VIEWS = [
  { id: 'one', words: 'This photo', icon: ImageIcon },
  { id: 'all', words: 'All together', icon: Layers },
] as const;

export function CaptureStage() {
  const record = usePickedCapture();
  if (!record) return <NoPhoto />;
  // Pointing and picking belong to one photo.
  return <CaptureOf key={record.id} record={record} />;
}

function AddPhotoButtons({ isFirst }: { readonly isFirst: boolean }) {
  const add = async (usesCamera: boolean) =>
    takeIn(await chooseFiles({ accept: PHOTO_TYPES, isMultiple: !usesCamera, usesCamera }));
  return (
    <div className="row">
      <ActionButton kind={isFirst ? 'main' : 'plain'} icon={ImagePlus} onPress={() => void add(false)}>
        {isFirst ? 'Add a photo' : 'Add another photo'}
      </ActionButton>
      <span className="only-on-touch">
        <ActionButton icon={Camera} onPress={() => void add(true)}>
          Take a photo
        </ActionButton>
      </span>
    </div>
  );
}

function NoPhoto() {
  return (
    <StageFrame
      title="Capture"
      lead={LEAD}
      table={
        <BareTable drawing={<PhotographingDrawing />} title="One photo, from straight above">
          <p>
            Lay the mock-up flat, scatter four to six scale cards round it, turned any way, and photograph it
            all from above. The more the cards surround the piece, the truer the millimetres.
          </p>
          <AddPhotoButtons isFirst />
        </BareTable>
      }
    >
      <JobStatus jobKey={INTAKE} />
      <p className="quiet">You can also drop a photo anywhere, or paste one.</p>
    </StageFrame>
  );
}

function CaptureOf({ record }: { readonly record: CaptureRecord }) {
  const { id: captureId, tapes } = record;
  const fresh = useFreshCapture(captureId);
  const capture = fresh ?? record.capture;
  const [pointedId, setPointed] = useState<number | undefined>(undefined);
  const [pick, setPick] = useState<TapePick | undefined>(undefined);
  const [pointing, setPointing] = useState<Pointing | undefined>(undefined);
  const [isSureShown, setSureShown] = useState(false);
  const join = useBuild((build) => joinOf(build, captureId));
  const [isAllShown, setAllShown] = useState(false);
  const view = (
    <Choice
      label="View"
      options={JOIN_VIEWS}
      value={isAllShown ? 'all' : 'one'}
      onChange={(next) => setAllShown(next === 'all')}
    />
  );
  const sure = useSureness(record, capture);
  const jobKey = measuringKey(captureId);
  const isBusy = useJob(jobKey) !== undefined;
  const hasFailed = useJobFailure(jobKey) !== undefined;
  const isCurrent = useBuild((build) => isCaptureCurrent(build, record));
  const isByCards = record.references?.some(({ kind }) => kind === 'cards') ?? true;
  const measure = () => void measurePhoto(captureId, 'Measure photo');
  return (
    <StageFrame
      title="Capture"
      lead={LEAD}
      table={
        join && isAllShown && !pick && !pointing ? (
          <JoinTable join={join} overlay={view} />
        ) : (
          <CaptureTable
            record={record}
            capture={capture}
            pointedId={pointedId}
            pick={pick}
            onPick={setPick}
            pointing={pointing}
            onPointing={setPointing}
            overlay={join && view}
            underCards={
              capture &&
              isSureShown &&
              sure && <SureInPhoto capture={capture} field={sure.field} laid={sure.advice.laid} />
            }
          />
        )
      }
    >
      <PhotoPicker />
      <JobStatus jobKey={INTAKE} />
      <JobStatus jobKey={jobKey} onTryAgain={measure} />
      {!isCurrent && !isBusy && !hasFailed && (
        <Notice tone="look">
          <p>
            {capture
              ? 'Something was changed since this photo was measured.'
              : 'This photo is not measured yet.'}
          </p>
          <ActionButton icon={RotateCw} onPress={measure}>
            {capture ? 'Measure again' : 'Measure it'}
          </ActionButton>
        </Notice>
      )}
      {capture && (
        <>
          <MeasuredPart capture={capture} onPoint={setPointed} />
          <RetakePart captureId={captureId} capture={capture} onPoint={setPointed} />
          <WarningList
            warnings={capture.warnings.filter((warning) => !isMendedByRetaking(warning))}
            onPoint={setPointed}
          />
          <ActionButton kind="main" wide onPress={() => goToStage('trace')}>
            See the traced pieces
          </ActionButton>
        </>
      )}
      <ReferencePart record={record} pointing={pointing} onPointing={setPointing} />
      {capture && sure && (
        <SurePart
          advice={sure.advice}
          isAcrossPiece={sure.isAcrossPiece}
          field={sure.field}
          isShown={isSureShown}
          onShow={setSureShown}
        />
      )}
      <ThicknessPart record={record} />
      {isByCards && <CardPrinter />}
      {capture && isByCards && (
        <TapePart
          capture={capture}
          tapes={tapes}
          pick={pick}
          onPick={setPick}
          onTapes={(next) =>
            void measurePhoto(captureId, 'Set taped distance', (build) =>
              setTapes(build, { captureId, tapes: next }),
            )
          }
        />
      )}
      <JoinPart record={record} />
      <AddPhotoButtons isFirst={false} />
      <ActionButton
        kind="quiet"
        icon={Trash2}
        onPress={() => {
          stopJob(jobKey);
          change('Remove photo', (build) => removeCapture(build, { captureId }));
        }}
      >
        Remove this photo
      </ActionButton>
    </StageFrame>
  );
}

function CardPrinter() {
  const printers = useBuild((build) => build.printers);
  const chosenId = useBuild((build) => build.cardPrinterId);
  return (
    <PrinterPart
      printers={printers}
      chosenId={chosenId}
      onChoose={(printerId) =>
        void measureAll('Choose printer of the cards', (build) => chooseCardPrinter(build, { printerId }))
      }
      onAdd={(name, check) => {
        const stamp = newStamp();
        keepPrinter({ id: stamp.id, name, check });
        void measureAll('Add printer', (build) =>
          chooseCardPrinter(addPrinter(build, { stamp, name, check }), { printerId: stamp.id }),
        );
      }}
    />
  );
}
