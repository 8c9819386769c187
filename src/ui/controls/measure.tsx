import { STATED_WORDS } from '../../stated-tolerance.ts';
import { digitsFor, mmWords, toleranceWords } from './number-words.ts';

interface MeasureProps {
  readonly label: string;
  readonly valueMm: number;
  /** One-sigma tolerance, mm, shown as stated; it also sets how many digits the value shows. */
  readonly toleranceMm?: number;
  readonly unit?: string;
  /** `large` for the one number of a panel that matters. */
  readonly size?: 'large' | 'plain';
}

/** A measured number: value, tolerance, unit. */
export function Measure({ label, valueMm, toleranceMm, unit = 'mm', size = 'large' }: MeasureProps) {
  const digits = toleranceMm === undefined ? 1 : Math.max(1, digitsFor(toleranceMm));
  return (
    <div className={`measure measure-${size}`}>
      <div className="measure-label">{label}</div>
      <div className="measure-value">
        <span>{mmWords(valueMm, digits)}</span>
        <span className="measure-tolerance">
          {toleranceMm !== undefined && `${toleranceWords(toleranceMm)} `}
          {unit}
        </span>
      </div>
      {toleranceMm !== undefined && size === 'large' && <StatedNote />}
    </div>
  );
}

/** What "±" means, for the place where the numbers stand. */
export function StatedNote() {
  return <div className="measure-note">± holds {STATED_WORDS}</div>;
}
