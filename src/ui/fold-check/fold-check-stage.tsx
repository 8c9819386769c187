import { useState } from 'react';
import { useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { goToStage } from '../desk.ts';
import { FoldingDrawing } from '../drawings/stage-drawings.tsx';
import '../look/making.css';
import { usePickedPiece } from '../picked.ts';
import { BareTable, StageFrame } from '../shell/stage-frame.tsx';
import { LimitField } from './check-part.tsx';
import { PieceFolded } from './piece-folded.tsx';
import { PiecePair } from './piece-pair.tsx';

export function FoldCheckStage() {
  const piece = usePickedPiece();
  const pieces = useBuild((build) => build.pieces);
  /** The other piece of a pair, by the piece it is laid on. */
  const [others, setOthers] = useState<Readonly<Record<string, string | undefined>>>({});
  if (!piece) return <NothingToFold />;
  const other = pieces.find(({ id }) => id === others[piece.id]);
  const onOther = (otherId: string | undefined) => setOthers({ ...others, [piece.id]: otherId });
  // Another piece, or another pair, begins with nothing pointed at and nothing chosen.
  return other ? (
    <PiecePair key={`${piece.id} ${other.id}`} piece={piece} other={other} onOther={onOther} />
  ) : (
    <PieceFolded key={piece.id} piece={piece} onOther={onOther} />
  );
}

function NothingToFold() {
  return (
    <StageFrame
      title="Fold check"
      lead="One half is folded over onto the other; where they differ, it is measured."
      table={
        <BareTable drawing={<FoldingDrawing />} title="Do the two halves match?">
          <p>
            Fold a paper mock-up along its middle and you see where it is uneven. Here the traced piece is
            folded, and every difference is measured. Photograph a mock-up first.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            Go to Capture
          </ActionButton>
        </BareTable>
      }
    >
      <LimitField />
    </StageFrame>
  );
}
