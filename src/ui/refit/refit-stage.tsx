import { useState } from 'react';
import { useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { goToStage } from '../desk.ts';
import { RefittingDrawing } from '../drawings/stage-drawings.tsx';
import '../look/making.css';
import { usePickedPiece } from '../picked.ts';
import { PiecePicker } from '../piece-picker.tsx';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import type { Piece } from '../../build/types.ts';
import { lastRevision } from '../../build/lookups.ts';
import { laidChoices, revisionWords } from './laid.ts';
import { LaidOnPiece } from './laid-on-piece.tsx';
import { RevisionsPart } from './revisions-part.tsx';

const LEAD = 'A trimmed mock-up comes back: its edge is laid on the piece and becomes the next revision.';

export function RefitStage() {
  const piece = usePickedPiece();
  return piece ? <PieceRefit key={piece.id} piece={piece} /> : <NothingToRefit />;
}

function PieceRefit({ piece }: { readonly piece: Piece }) {
  const build = useBuild((build) => build);
  const [baseId, setBaseId] = useState<string | undefined>(undefined);
  const [laidId, setLaidId] = useState<string | undefined>(undefined);
  const base = piece.revisions.find(({ id }) => id === baseId) ?? lastRevision(piece);
  const choices = laidChoices(build, piece, base);
  const laid = choices.find(({ id }) => id === laidId);
  const pickers = (
    <>
      <PiecePicker />
      {piece.revisions.length > 1 && (
        <PickFrom
          label="Underneath"
          options={piece.revisions.map((revision) => ({
            id: revision.id,
            words: `revision ${revisionWords(piece, revision)}`,
          }))}
          value={base.id}
          onChange={setBaseId}
        />
      )}
      <PickFrom
        label="Laid on it"
        options={choices.map(({ id, words }) => ({ id, words }))}
        value={laid?.id}
        onChange={setLaidId}
        placeholder="Choose the mock-up"
      />
    </>
  );
  const revisions = (
    <RevisionsPart
      piece={piece}
      onCompare={(earlier, later) => {
        setBaseId(earlier.id);
        setLaidId(`revision ${later.id}`);
      }}
    />
  );
  if (laid) {
    return (
      <LaidOnPiece
        key={`${base.id} ${laid.id}`}
        piece={piece}
        base={base}
        laid={laid}
        lead={LEAD}
        pickers={pickers}
        revisions={revisions}
        onDone={() => {
          setBaseId(undefined);
          setLaidId(undefined);
        }}
      />
    );
  }
  return (
    <StageFrame
      title="Refit"
      lead={LEAD}
      table={
        <BareTable drawing={<RefittingDrawing />} title={`What did ${piece.name} become?`}>
          <p>
            Cut the template, try it on, trim it until it sits right, and photograph it beside the cards
            again. Then choose here which traced piece it is.
          </p>
          <ActionButton onPress={() => goToStage('capture')}>Photograph the mock-up</ActionButton>
        </BareTable>
      }
    >
      <PanelPart>{pickers}</PanelPart>
      {revisions}
    </StageFrame>
  );
}

function NothingToRefit() {
  return (
    <StageFrame
      title="Refit"
      lead={LEAD}
      table={
        <BareTable drawing={<RefittingDrawing />} title="Trimmed it until it sat right?">
          <p>
            Foamwright lays the trimmed mock-up on the piece it was cut from and shows what you took off. It
            needs a first piece: photograph one.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            Go to Capture
          </ActionButton>
        </BareTable>
      }
    >
      {null}
    </StageFrame>
  );
}
