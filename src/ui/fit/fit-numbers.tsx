import type { FitPlan } from '../../fit/fit-plan.ts';
import { Measure } from '../controls/measure.tsx';
import { Notice } from '../controls/notice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { FITS_WITHIN_MM } from './fit-state.ts';

/** What the head and the foam ask for, beside what the pattern has. */
export function FitNumbers({
  plan,
  toleranceMm,
  doubtMm,
  isStale,
}: {
  readonly plan: FitPlan;
  readonly isStale: boolean;
  readonly toleranceMm: number | undefined;
  /** What a test strip leaves in doubt of the length wanted, one sigma, mm; undefined where K is assumed. */
  readonly doubtMm: number | undefined;
}) {
  const { wantedWrapMm, differenceMm, before } = plan;
  return (
    <div className={`stack${isStale ? ' is-stale' : ''}`}>
      <div className="two-up two-measures">
        <Measure
          label="Wanted"
          valueMm={wantedWrapMm}
          {...(doubtMm !== undefined && { toleranceMm: doubtMm })}
        />
        <Measure
          label="This pattern"
          valueMm={before.wrapMm}
          {...(toleranceMm !== undefined && { toleranceMm })}
        />
      </div>
      {Math.abs(differenceMm) <= FITS_WITHIN_MM ? (
        <Notice tone="good">
          <p>It fits: {mmWords(Math.abs(differenceMm))} mm apart, closer than foam is cut by hand.</p>
        </Notice>
      ) : (
        <Notice tone="look">
          <p>
            The pattern is{' '}
            <strong>
              {mmWords(Math.abs(differenceMm))} mm {differenceMm > 0 ? 'too short' : 'too long'}
            </strong>
            .
          </p>
        </Notice>
      )}
    </div>
  );
}
