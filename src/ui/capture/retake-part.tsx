import { Camera } from 'lucide-react';
import type { Capture } from '../../capture/types.ts';
import { useBuild } from '../bench.ts';
import { Notice } from '../controls/notice.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { isMendedByRetaking, pieceHints } from './retake-hints.ts';
import { WarningList } from './warning-list.tsx';

interface RetakePartProps {
  readonly captureId: string;
  readonly capture: Capture;
  readonly onPoint: (cardId: number | undefined) => void;
}

/** What another photo would mend, together, so that it is taken once and well; nothing when there is nothing. */
export function RetakePart({ captureId, capture, onPoint }: RetakePartProps) {
  const pieces = useBuild((build) => build.pieces);
  const hints = pieceHints(pieces, captureId);
  const warnings = capture.warnings.filter(isMendedByRetaking);
  if (hints.length === 0 && warnings.length === 0) return null;
  return (
    <PanelPart title="Take it again?" icon={Camera}>
      <WarningList warnings={warnings} onPoint={onPoint} />
      {hints.map((words) => (
        <Notice key={words} tone="look">
          <p>{words}</p>
        </Notice>
      ))}
    </PanelPart>
  );
}
