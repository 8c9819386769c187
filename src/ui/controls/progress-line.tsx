import { Label, ProgressBar } from 'react-aria-components';
import { ActionButton } from './action-button.tsx';
import { X } from 'lucide-react';

interface ProgressLineProps {
  /** What is being done, in the maker's words: "Measuring the cards". */
  readonly step: string;
  /** 0..1 of the whole. */
  readonly fraction: number;
  readonly onCancel?: () => void;
}

/** How far a long step has come, with a way to stop it. */
export function ProgressLine({ step, fraction, onCancel }: ProgressLineProps) {
  return (
    <div className="stack progress-line">
      <ProgressBar className="progress" value={fraction * 100}>
        {({ percentage, valueText }) => (
          <>
            <div className="progress-words">
              <Label>{step}</Label>
              <span className="quiet">{valueText}</span>
            </div>
            <div className="progress-track">
              <div className="progress-fill" style={{ width: `${percentage ?? 0}%` }} />
            </div>
          </>
        )}
      </ProgressBar>
      {onCancel && (
        <div className="row">
          <ActionButton icon={X} onPress={onCancel}>
            Stop
          </ActionButton>
        </div>
      )}
    </div>
  );
}
