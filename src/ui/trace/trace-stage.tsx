import { TracingDrawing } from '../drawings/stage-drawings.tsx';
import { BareTable, StageFrame } from '../shell/stage-frame.tsx';

export function TraceStage() {
  return (
    <StageFrame
      title="Trace"
      table={
        <BareTable drawing={<TracingDrawing />} title="The edge becomes a line">
          <p>Measure a photo first; every piece in it is then traced in true millimetres.</p>
        </BareTable>
      }
    >
      <p className="quiet">Nothing traced yet.</p>
    </StageFrame>
  );
}
