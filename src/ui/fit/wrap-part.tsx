import { Spline } from 'lucide-react';
import type { WrapLine } from '../../fit/wrap-line.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { More } from '../controls/more.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { EndFields } from './end-fields.tsx';

interface WrapPartProps {
  readonly line: WrapLine;
  readonly isKept: boolean;
  readonly onLine: (words: string, line: WrapLine) => void;
  readonly onForget: () => void;
}

/** The line on the piece that goes round the head. */
export function WrapPart({ line, isKept, onLine, onForget }: WrapPartProps) {
  return (
    <PanelPart title="Wrap line" icon={Spline}>
      <p>
        {isKept
          ? 'Drag its two ends to where the piece starts and stops going round the head.'
          : 'Suggested, not kept yet: the longest line across the piece. Drag its ends, or keep it as it is.'}
      </p>
      <Choice
        label="How the wrap line runs"
        options={[
          { id: 'straight', words: 'Straight' },
          { id: 'edge', words: 'Along the edge' },
        ]}
        value={line.along}
        onChange={(along) => onLine('How the wrap line runs', { ...line, along })}
      />
      <div className="row">
        {isKept ? (
          <ActionButton kind="quiet" onPress={onForget}>
            Forget it, suggest again
          </ActionButton>
        ) : (
          <ActionButton onPress={() => onLine('Keep wrap line', line)}>Keep this line</ActionButton>
        )}
      </div>
      <More title="Place the ends by number">
        <EndFields line={line} onMove={(end, place) => onLine('Move wrap line', { ...line, [end]: place })} />
      </More>
    </PanelPart>
  );
}
