import type { Piece } from '../../build/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { goToStage } from '../desk.ts';
import { FittingDrawing } from '../drawings/stage-drawings.tsx';
import { PiecePicker } from '../piece-picker.tsx';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { WearerPart } from './wearer-part.tsx';

export const LEAD = 'The piece against the head and the foam that it goes round.';

/** A piece without a closed edge has nothing to fit. */
export function NoOutline({ piece }: { readonly piece: Piece }) {
  return (
    <StageFrame
      title="Fit"
      lead={LEAD}
      table={
        <BareTable drawing={<FittingDrawing />} title={`${piece.name} has no closed edge`}>
          <p>Only a piece with a closed cut line can be fitted. Trace it again, or choose another piece.</p>
        </BareTable>
      }
    >
      <PanelPart>
        <PiecePicker />
      </PanelPart>
    </StageFrame>
  );
}

/** Before there is a piece the wearer can be measured. */
export function NothingToFit() {
  return (
    <StageFrame
      title="Fit"
      lead={LEAD}
      table={
        <BareTable drawing={<FittingDrawing />} title="How long must the piece be?">
          <p>
            Measure the head with a tape and say how thick the foam is: the length that goes round both is
            worked out, and the piece is brought to it. Photograph a mock-up first.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            Go to Capture
          </ActionButton>
        </BareTable>
      }
    >
      <WearerPart />
    </StageFrame>
  );
}
