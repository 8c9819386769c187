import type { CaptureWarning } from '../../capture/types.ts';
import { Notice } from '../controls/notice.tsx';
import { isByTheWay } from './capture-state.ts';

interface WarningListProps {
  readonly warnings: readonly CaptureWarning[];
  readonly onPoint: (cardId: number | undefined) => void;
}

/** What the solve has to say, in its own words; pointing at one shows its card on the photo. */
export function WarningList({ warnings, onPoint }: WarningListProps) {
  return warnings.map(({ code, message, cardId }) => (
    <div
      key={`${code} ${cardId ?? ''} ${message}`}
      onPointerEnter={() => onPoint(cardId)}
      onPointerLeave={() => onPoint(undefined)}
    >
      <Notice tone={isByTheWay(code) ? 'plain' : 'look'}>
        <p>{message}</p>
      </Notice>
    </div>
  ));
}
