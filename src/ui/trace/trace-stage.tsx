import { PenTool, Scissors } from 'lucide-react';
import { type ReactNode, useMemo, useState } from 'react';
import { setEdgeBias } from '../../build/commands/captures.ts';
import { leadOf } from '../../build/join-lookups.ts';
import { LIMITS } from '../../build/limits.ts';
import type { CaptureRecord, Piece } from '../../build/types.ts';
import { useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { NudgeSlider } from '../controls/nudge-slider.tsx';
import { goToStage, pickPiece, useDesk } from '../desk.ts';
import { TracingDrawing } from '../drawings/stage-drawings.tsx';
import { EditStage } from '../edit/edit-stage.tsx';
import { measurePhoto, measuringKey } from '../measuring.ts';
import { PhotoPicker } from '../photo-picker.tsx';
import { usePickedCapture } from '../picked.ts';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { DrawnPart, TraceModePart } from './drawn-part.tsx';
import { PieceList } from './piece-list.tsx';
import { SideWallPart } from './side-wall-part.tsx';
import { TraceFigures } from './trace-figures.tsx';
import { FLATTENING } from './use-flattened.ts';
import { TraceTable } from './trace-table.tsx';

const LEAD = 'Every piece in the photo as a line in true millimetres.';

export function TraceStage() {
  const record = usePickedCapture();
  const allPieces = useBuild((build) => build.pieces);
  // The pieces of joined photos belong to the first of them, and are shown with each.
  const leadId = useBuild((build) => record && leadOf(build, record.id));
  const pieces = useMemo(
    () => allPieces.filter(({ captureId }) => captureId !== undefined && captureId === leadId),
    [allPieces, leadId],
  );
  const pickedId = useDesk((desk) => desk.pieceId);
  const inHand =
    pieces.find(({ id }) => id === pickedId) ?? pieces.find(({ included }) => included) ?? pieces[0];
  const [editedId, setEditedId] = useState<string | undefined>(undefined);
  // Whose editor was left last: the focus goes back to where it was opened from.
  const [leftId, setLeftId] = useState<string | undefined>(undefined);
  const made = useMemo(() => allPieces.filter(({ captureId }) => captureId === undefined), [allPieces]);
  const edited = [...pieces, ...made].find(({ id }) => id === editedId);
  if (edited) {
    const photo = edited.captureId !== undefined &&
      record?.capture && { photoId: record.photoId, capture: record.capture };
    return (
      <EditStage
        key={edited.id}
        {...(photo && { photo })}
        piece={edited}
        onDone={() => {
          setEditedId(undefined);
          setLeftId(edited.id);
        }}
      />
    );
  }
  const madePart = <MadePart pieces={made} leftId={leftId} onEdit={setEditedId} />;
  if (!record?.capture) return <NothingMeasured record={record} more={madePart} />;
  return (
    <StageFrame
      title="Trace"
      lead={LEAD}
      table={<TraceTable record={record} capture={record.capture} pieces={pieces} inHand={inHand} />}
    >
      <JobStatus
        jobKey={measuringKey(record.id)}
        onTryAgain={() => void measurePhoto(record.id, 'Trace again')}
      />
      <JobStatus jobKey={FLATTENING} />
      <PhotoPicker />
      <TraceModePart record={record} />
      <SideWallPart record={record} pieces={pieces} />
      <PanelPart title={pieces.length === 1 ? '1 piece' : `${pieces.length} pieces`} icon={Scissors}>
        {pieces.length === 0 && (
          <p>
            {record.drawn
              ? 'No closed outline was found on the paper. Let fainter lines count or allow larger gaps below, or close the outline with a darker pencil and photograph it again.'
              : 'No piece was found in this photo. Move the edge below towards “takes in more”, or photograph it on a table of another colour.'}
          </p>
        )}
        <PieceList pieces={pieces} inHandId={inHand?.id} />
        {inHand && (
          <ActionButton
            icon={PenTool}
            autoFocus={inHand.id === leftId}
            onPress={() => {
              pickPiece(inHand.id);
              setEditedId(inHand.id);
            }}
          >
            Edit the lines
          </ActionButton>
        )}
      </PanelPart>
      {madePart}
      {record.drawn ? <DrawnPart record={record} drawn={record.drawn} /> : <EdgePart record={record} />}
      {inHand && <TraceFigures piece={inHand} />}
    </StageFrame>
  );
}

interface MadePartProps {
  readonly pieces: readonly Piece[];
  readonly leftId: string | undefined;
  readonly onEdit: (pieceId: string) => void;
}

/** Pieces that lie in no photo, such as a joining band: they have lines to edit all the same. */
function MadePart({ pieces, leftId, onEdit }: MadePartProps) {
  if (pieces.length === 0) return null;
  return (
    <PanelPart title="Pieces without a photo">
      {pieces.map(({ id, name }) => (
        <ActionButton
          key={id}
          icon={PenTool}
          autoFocus={id === leftId}
          onPress={() => {
            pickPiece(id);
            onEdit(id);
          }}
        >
          {`Edit the lines of ${name}`}
        </ActionButton>
      ))}
    </PanelPart>
  );
}

interface NothingMeasuredProps {
  readonly record: CaptureRecord | undefined;
  readonly more: ReactNode;
}

function NothingMeasured({ record, more }: NothingMeasuredProps) {
  return (
    <StageFrame
      title="Trace"
      lead={LEAD}
      table={
        <BareTable drawing={<TracingDrawing />} title="The edge becomes a line">
          <p>
            Once a photo is measured, the edge of every piece in it is found in the photo itself, finer than a
            pixel, and drawn here in millimetres.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            {record ? 'Measure the photo first' : 'Add a photo first'}
          </ActionButton>
        </BareTable>
      }
    >
      {record && <JobStatus jobKey={measuringKey(record.id)} />}
      <p className="quiet">Nothing is traced yet.</p>
      {more}
    </StageFrame>
  );
}

/** The one control that helps where a piece and the table look alike. */
function EdgePart({ record }: { readonly record: CaptureRecord }) {
  const [pending, setPending] = useState<number | undefined>(undefined);
  const { id: captureId } = record;
  return (
    <PanelPart title="Where pieces end">
      <NudgeSlider
        label="Edge"
        value={pending ?? record.edgeBias}
        {...LIMITS.edgeBias}
        step={0.1}
        ends={['takes in less', 'takes in more']}
        onSettle={(edgeBias) => {
          if (edgeBias === record.edgeBias) return;
          setPending(edgeBias);
          void measurePhoto(captureId, 'Move the edge', (build) =>
            setEdgeBias(build, { captureId, edgeBias }),
          ).finally(() => setPending(undefined));
        }}
      />
      <p className="small quiet">
        Use it when faint parts are missed, or when a shadow or the table is taken for foam.
      </p>
    </PanelPart>
  );
}
