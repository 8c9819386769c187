import { PhotographingDrawing } from '../drawings/photographing.tsx';
import { BareTable, StageFrame } from '../shell/stage-frame.tsx';

export function CaptureStage() {
  return (
    <StageFrame
      title="Capture"
      table={
        <BareTable drawing={<PhotographingDrawing />} title="One photo, seen from above">
          <p>Scatter four to six scale cards round the piece and photograph it from straight above.</p>
        </BareTable>
      }
    >
      <p className="quiet">Add a photo to begin.</p>
    </StageFrame>
  );
}
