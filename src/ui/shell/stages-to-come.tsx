import type { ReactNode } from 'react';
import { FittingDrawing, FoldingDrawing, PagesDrawing } from '../drawings/stage-drawings.tsx';
import { BareTable, StageFrame } from './stage-frame.tsx';

function StageToCome({ title, drawing, words }: { title: string; drawing: ReactNode; words: string }) {
  return (
    <StageFrame
      title={title}
      table={
        <BareTable drawing={drawing} title={title}>
          <p>{words}</p>
        </BareTable>
      }
    >
      <p className="quiet">This stage is still being built.</p>
    </StageFrame>
  );
}

export function FoldCheckToCome() {
  return (
    <StageToCome title="Fold check" drawing={<FoldingDrawing />} words="One half is laid on the other." />
  );
}

export function FitToCome() {
  return <StageToCome title="Fit" drawing={<FittingDrawing />} words="The piece is fitted to the head." />;
}

export function TemplateToCome() {
  return <StageToCome title="Template" drawing={<PagesDrawing />} words="The piece goes onto pages." />;
}
