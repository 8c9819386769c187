import { useState } from 'react';
import { changeFoam } from '../../build/commands/wearers-and-foams.ts';
import type { Foam } from '../../build/fit-types.ts';
import { LIMITS } from '../../build/limits.ts';
import { type BendTest, neutralFromBend } from '../../fit/bend-test.ts';
import { change } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { Notice } from '../controls/notice.tsx';
import { BendDrawing } from './bend-drawing.tsx';
import { neutralWords } from './foam-words.ts';

/** A pan of about a head's girth, and a strip as long. */
const FIRST: BendTest = { stripMm: 570, drumMm: 570, gapMm: 0, readingMm: 0.5 };

const FIELDS = [
  { of: 'stripMm', label: 'Strip, lying flat', range: LIMITS.testStripMm },
  { of: 'drumMm', label: 'Round the tin', range: LIMITS.testStripMm },
  { of: 'gapMm', label: 'Gap on the tin', range: LIMITS.testGapMm },
  { of: 'readingMm', label: 'Read to within', range: LIMITS.readingMm },
] as const;

/** Where this foam keeps its length, measured with a strip of it round a tin. */
export function BendTestPart({ foam }: { readonly foam: Foam }) {
  const [readings, setReadings] = useState<BendTest>(foam.bendTest ?? FIRST);
  const outcome = neutralFromBend(readings, foam.thicknessMm);
  return (
    <>
      <BendDrawing />
      <ol className="steps small">
        <li>
          Cut a strip of this foam about as long as a tin or a pan is round; best is one as big as a head.
        </li>
        <li>Measure the strip lying flat, and the tin with a tape.</li>
        <li>
          Bend the strip round the tin without pulling. Measure the gap between its ends where they touch the
          tin; put a minus before it when they would lie over each other.
        </li>
      </ol>
      <div className="field-rows">
        {FIELDS.map(({ of, label, range }) => (
          <MmField
            key={of}
            label={label}
            {...range}
            value={readings[of]}
            hasSteps={false}
            onChange={(mm) => setReadings({ ...readings, [of]: mm })}
          />
        ))}
      </div>
      {readings === FIRST ? null : outcome.ok ? (
        <>
          <p>
            This strip gives <strong>K = {neutralWords(outcome.value)}</strong>.
          </p>
          <ActionButton
            onPress={() =>
              change(`Test strip of ${foam.name}`, (build) =>
                changeFoam(build, { foamId: foam.id, ...outcome.value, bendTest: readings }),
              )
            }
          >
            Use it for this foam
          </ActionButton>
        </>
      ) : (
        <Notice tone="look">
          <p>{outcome.problem.message}</p>
        </Notice>
      )}
    </>
  );
}
