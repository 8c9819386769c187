import { LIMITS } from '../../build/limits.ts';
import { MmField } from '../controls/mm-field.tsx';

interface BarPairProps {
  readonly acrossMm: number | undefined;
  readonly alongMm: number | undefined;
  readonly onAcross: (acrossMm: number) => void;
  readonly onAlong: (alongMm: number) => void;
}

/** Lengths of the card page's two check bars, as read from a ruler. */
export function BarPair({ acrossMm, alongMm, onAcross, onAlong }: BarPairProps) {
  return (
    <div className="two-up">
      <MmField
        label="Bar across"
        value={acrossMm}
        onChange={onAcross}
        {...LIMITS.checkAcrossMm}
        digits={2}
        hasSteps={false}
      />
      <MmField
        label="Bar along"
        value={alongMm}
        onChange={onAlong}
        {...LIMITS.checkAlongMm}
        digits={2}
        hasSteps={false}
      />
    </div>
  );
}
