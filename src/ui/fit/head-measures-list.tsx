import { changeWearer } from '../../build/commands/wearers-and-foams.ts';
import type { Wearer } from '../../build/fit-types.ts';
import { LIMITS } from '../../build/limits.ts';
import { type Estimate, missingMeasures } from '../../fit/estimate-measures.ts';
import { HEAD_MEASURES, type HeadMeasure, MEASURE_NAMES } from '../../fit/head-measures.ts';
import { measureSense, usualRangeWords } from '../../fit/measure-sense.ts';
import { MM_PER_INCH, type TapeUnit, tapeWords } from '../../fit/tape-length.ts';
import { statedTolerance } from '../../stated-tolerance.ts';
import { change } from '../bench.ts';
import { Notice } from '../controls/notice.tsx';
import { TapeDrawing } from './tape-drawings.tsx';
import { TapeField } from './tape-field.tsx';

/** How each measure is taken. */
export const HOW_TO: Readonly<Record<HeadMeasure, string>> = {
  girthMm: 'Over the brow and the fullest part at the back, a finger under the tape.',
  headLengthMm: 'From between the brows to the farthest point at the back, straight: between two books.',
  headBreadthMm: 'Across the widest part above the ears, straight: between two books.',
  earToEarMm: 'From the front of one ear over the top to the front of the other.',
  browToNapeMm: 'From between the brows over the top to the bump where the nape begins.',
  browToChinMm: 'From the dip of the nose between the eyes to under the chin, straight.',
  earToBrowMm: 'From the front of one ear along the head to the middle of the brow.',
};

function likely({ valueMm, scatterMm }: Estimate, unit: TapeUnit): string {
  const scatter = statedTolerance(scatterMm);
  return `likely ${tapeWords(Math.round(valueMm), unit)} ± ${unit === 'mm' ? Math.round(scatter) : (scatter / MM_PER_INCH).toFixed(1)}`;
}

function sourceWords({ from }: Estimate): string {
  if (from.length === 0) return 'Not known from the others: the middle of all adults.';
  const names = from.map((measure) => MEASURE_NAMES[measure].toLowerCase());
  return `Worked out from the ${names.join(', ').replace(/, (?=[^,]*$)/u, ' and ')}.`;
}

interface HeadMeasuresListProps {
  readonly wearer: Wearer;
  readonly unit: TapeUnit;
}

/** The measures beside the girth, each with a drawing of where the tape goes; what is not taken is estimated. */
export function HeadMeasuresList({ wearer, unit }: HeadMeasuresListProps) {
  const missing = missingMeasures(wearer);
  return (
    <ul className="tape-list">
      {HEAD_MEASURES.filter((measure) => measure !== 'girthMm').map((measure) => {
        const valueMm = wearer[measure];
        const estimate = missing[measure];
        const sense = valueMm === undefined ? undefined : measureSense(measure, valueMm, wearer);
        const usual = usualRangeWords(measure);
        return (
          <li key={measure} className="tape-row">
            <TapeDrawing measure={measure} />
            <div className="stack">
              <TapeField
                label={MEASURE_NAMES[measure]}
                valueMm={valueMm}
                unit={unit}
                range={LIMITS[measure]}
                canBeEmpty
                placeholder={estimate ? likely(estimate, unit) : 'not measured'}
                help={HOW_TO[measure]}
                onChange={(next) =>
                  change(`${MEASURE_NAMES[measure]} of ${wearer.name}`, (build) =>
                    changeWearer(build, { wearerId: wearer.id, [measure]: next }),
                  )
                }
              />
              {estimate && <p className="small quiet">{sourceWords(estimate)}</p>}
              {sense && (
                <Notice tone="look">
                  <p>{sense}</p>
                  {usual && <p className="small">{usual}.</p>}
                </Notice>
              )}
            </div>
          </li>
        );
      })}
    </ul>
  );
}
