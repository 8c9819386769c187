import { Check } from 'lucide-react';
import { useEffect, useState } from 'react';
import type { Piece } from '../../build/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { More } from '../controls/more.tsx';
import { Notice } from '../controls/notice.tsx';
import { PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { FLATTENING } from '../trace/use-flattened.ts';
import { WallNote } from '../trace/wall-note.tsx';
import '../look/edit.css';
import { EDIT_KEYS, useEditKeys } from './edit-keys.ts';
import { EditTable } from './edit-table.tsx';
import { JointPart } from './joint-part.tsx';
import { LinePart } from './line-part.tsx';
import { ShapePart } from './shape-part.tsx';
import { SHAPING, stopShaping } from './shape-away.ts';
import { newSitting, type PhotoUnder, type Sitting, SittingContext, useSittingState } from './sitting.ts';
import { ToolPart } from './tool-part.tsx';

interface EditStageProps {
  /** Where the piece was photographed; none for pieces that were made here. */
  readonly photo?: PhotoUnder;
  readonly piece: Piece;
  readonly onDone: () => void;
}

/** A piece's lines under the maker's hand. */
export function EditStage(props: EditStageProps) {
  const [sitting] = useState(() => newSitting(props.piece.id, props.photo));
  return (
    <SittingContext value={sitting}>
      <Editor {...props} sitting={sitting} />
    </SittingContext>
  );
}

function Editor({ piece, onDone, sitting }: EditStageProps & { readonly sitting: Sitting }) {
  useEditKeys(sitting);
  useEffect(() => () => void stopShaping(), []);
  return (
    <StageFrame
      title="Edit the lines"
      lead={`${piece.name}, in true millimetres. Everything can be undone.`}
      table={<EditTable piece={piece} />}
    >
      <JobStatus jobKey={FLATTENING} />
      <JobStatus jobKey={SHAPING} />
      <ActionButton kind="main" icon={Check} wide onPress={onDone}>
        Done
      </ActionButton>
      <LastNews />
      {sitting.photo && <WallNote piece={piece} />}
      <ToolPart />
      <JointPart />
      <LinePart />
      <ShapePart />
      <PanelPart>
        <KeyHelp />
      </PanelPart>
    </StageFrame>
  );
}

function LastNews() {
  const news = useSittingState((state) => state.news);
  if (!news) return null;
  return (
    <Notice tone={news.tone} isNews>
      <p>{news.words}</p>
    </Notice>
  );
}

function KeyHelp() {
  return (
    <More title="Keys">
      <div className="keys">
        {EDIT_KEYS.map(({ shown, words }) => (
          <div key={words} className="key-row">
            <span className="row">
              {shown.map((key) => (
                <kbd key={key}>{key}</kbd>
              ))}
            </span>
            <span className="small">{words}</span>
          </div>
        ))}
      </div>
    </More>
  );
}
