import { Plus } from 'lucide-react';
import { useState } from 'react';
import { addPiece } from '../../../build/commands/pieces.ts';
import { chosenWearer } from '../../../build/lookups.ts';
import { type CrossBarNeed, crossBar } from '../../../fit/bands/cross-bar.ts';
import { change, newStamp, useBuild } from '../../bench.ts';
import { ActionButton } from '../../controls/action-button.tsx';
import { Figures } from '../../controls/figures.tsx';
import { MmField } from '../../controls/mm-field.tsx';
import { Notice } from '../../controls/notice.tsx';
import { degreeWords, mmWords } from '../../controls/number-words.ts';
import { PickFrom } from '../../controls/pick-from.tsx';
import { pickPiece } from '../../desk.ts';
import { useShownMade } from './made-table.tsx';

/** Median ear-to-ear arc over the top of 2,543 men and 1,454 women (350 and 340 mm; NIOSH 2003, FACTS section 2.5). */
const USUAL_EAR_TO_EAR_MM = 345;

interface Measures {
  readonly leftHeightMm: number;
  readonly rightHeightMm: number;
  readonly clearanceMm: number;
  readonly widthMm: number;
  readonly tabMm: number;
}

const FIELDS: readonly {
  readonly of: keyof Measures;
  readonly label: string;
  readonly min: number;
  readonly max: number;
}[] = [
  { of: 'leftHeightMm', label: 'Fixed above the left ear by', min: 0, max: 250 },
  { of: 'rightHeightMm', label: 'Fixed above the right ear by', min: 0, max: 250 },
  { of: 'clearanceMm', label: 'Room over the head', min: 0, max: 60 },
  { of: 'widthMm', label: 'Width of the bar', min: 8, max: 200 },
  { of: 'tabMm', label: 'Glued at each end over', min: 0, max: 120 },
];

/** The bar over the top of the head, inside a headpiece, that carries its weight. */
export function CrossBarFields() {
  const wearer = useBuild(chosenWearer);
  const foams = useBuild((build) => build.foams);
  const usualFoamId = useBuild((build) => build.foamId ?? build.foams[0]!.id);
  const [foamId, setFoamId] = useState<string | undefined>(undefined);
  const [typedMm, setTypedMm] = useState<number | undefined>(undefined);
  const [measures, setMeasures] = useState<Measures>({
    leftHeightMm: 70,
    rightHeightMm: 70,
    clearanceMm: 10,
    widthMm: 30,
    tabMm: 25,
  });
  const foam = foams.find(({ id }) => id === (foamId ?? usualFoamId)) ?? foams[0]!;
  const need: CrossBarNeed = {
    ...measures,
    earToEarMm: typedMm ?? wearer.earToEarMm ?? USUAL_EAR_TO_EAR_MM,
    foam,
  };
  const outcome = crossBar(need, 'preview');
  useShownMade('Cross bar', outcome.ok ? outcome.value.lines : undefined);
  return (
    <fieldset className="work-item">
      <legend>Cross bar</legend>
      <MmField
        label="Ear to ear over the top"
        min={200}
        max={600}
        digits={0}
        value={need.earToEarMm}
        help={
          wearer.earToEarMm === undefined && typedMm === undefined
            ? `Not measured for ${wearer.name}: a usual adult's. Measure before cutting.`
            : `With the tape from ear to ear over the top of the head.`
        }
        onChange={setTypedMm}
      />
      <div className="field-rows">
        {FIELDS.map(({ of, label, min, max }) => (
          <MmField
            key={of}
            label={label}
            min={min}
            max={max}
            digits={0}
            value={measures[of]}
            onChange={(mm) => setMeasures({ ...measures, [of]: mm })}
          />
        ))}
      </div>
      <PickFrom
        label="Foam of the bar"
        options={foams.map(({ id, name }) => ({ id, words: name }))}
        value={foam.id}
        onChange={setFoamId}
      />
      {outcome.ok ? (
        <>
          <Figures
            rows={[
              ['Along the head', `${mmWords(outcome.value.headMm)} mm`],
              ['Turns through', degreeWords(outcome.value.turnRad)],
              ['Between the fixings', `${mmWords(outcome.value.betweenMm)} mm`],
              ['Whole bar', `${mmWords(outcome.value.lengthMm)} mm`],
            ]}
          />
          <p className="small quiet">
            The head is taken to turn half round from ear to ear (common practice). A bar carries weight; it
            does not protect the head.
          </p>
        </>
      ) : (
        <Notice tone="wrong">
          <p>{outcome.problem.message}</p>
        </Notice>
      )}
      <ActionButton wide icon={Plus} isDisabled={!outcome.ok} onPress={() => addBar(need, foam.id)}>
        Add the bar as a piece
      </ActionButton>
    </fieldset>
  );
}

function addBar(need: CrossBarNeed, foamId: string): void {
  const stamp = newStamp();
  const outcome = crossBar(need, stamp.id);
  if (!outcome.ok) return;
  const { lines, lengthMm } = outcome.value;
  const why = `cross bar for ${mmWords(need.earToEarMm, 0)} mm ear to ear, ${mmWords(lengthMm)} mm long`;
  change('Add cross bar', (build) => addPiece(build, { stamp, name: 'Cross bar', lines, why, foamId }));
  pickPiece(stamp.id);
}
