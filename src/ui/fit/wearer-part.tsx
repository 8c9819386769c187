import { Plus, Trash2, UserRound } from 'lucide-react';
import { useState } from 'react';
import {
  addWearer,
  changeWearer,
  chooseWearer,
  removeWearer,
} from '../../build/commands/wearers-and-foams.ts';
import { LIMITS } from '../../build/limits.ts';
import { chosenWearer } from '../../build/lookups.ts';
import { girthSense } from '../../fit/girth-sense.ts';
import { hatSizeOf } from '../../fit/hat-size.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { Notice } from '../controls/notice.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';

type GirthUnit = 'mm' | 'in';

const MM_PER_INCH = 25.4;

/** Whom the headpiece is made for. */
export function WearerPart() {
  const wearers = useBuild((build) => build.wearers);
  const wearer = useBuild(chosenWearer);
  const { id: wearerId, name, girthMm } = wearer;
  const hat = hatSizeOf(girthMm);
  const sense = girthSense(girthMm);
  return (
    <PanelPart title="Wearer" icon={UserRound}>
      {wearers.length > 1 && (
        <PickFrom
          label="Made for"
          options={wearers.map((each) => ({ id: each.id, words: each.name, note: `${each.girthMm} mm` }))}
          value={wearerId}
          onChange={(id) => change('Choose wearer', (build) => chooseWearer(build, { wearerId: id }))}
        />
      )}
      <TextLine
        label="Name"
        value={name}
        onChange={(next) => change('Rename wearer', (build) => changeWearer(build, { wearerId, name: next }))}
      />
      <GirthField
        girthMm={girthMm}
        onChange={(next) =>
          change(`Head girth of ${name}`, (build) => changeWearer(build, { wearerId, girthMm: next }))
        }
      />
      <p className="small quiet">
        Lay the tape over the brow and the fullest part at the back, a finger under it. Hat size {hat.us} US,{' '}
        {hat.uk} UK, {hat.euCm} EU.
      </p>
      {sense.message && (
        <Notice tone={sense.kind === 'unusable' ? 'wrong' : 'look'}>
          <p>{sense.message}</p>
        </Notice>
      )}
      <div className="row">
        <ActionButton
          icon={Plus}
          onPress={() =>
            change('Add wearer', (build) =>
              addWearer(build, { stamp: newStamp(), name: `Wearer ${build.wearers.length + 1}`, girthMm }),
            )
          }
        >
          Another wearer
        </ActionButton>
        {wearers.length > 1 && (
          <ActionButton
            kind="quiet"
            icon={Trash2}
            aria-label={`Remove ${name}`}
            onPress={() => change(`Remove ${name}`, (build) => removeWearer(build, { wearerId }))}
          >
            Remove
          </ActionButton>
        )}
      </div>
    </PanelPart>
  );
}

interface GirthFieldProps {
  readonly girthMm: number;
  readonly onChange: (girthMm: number) => void;
}

/** Head girth in the unit of the maker's tape. */
function GirthField({ girthMm, onChange }: GirthFieldProps) {
  const [unit, setUnit] = useState<GirthUnit>('mm');
  const { min, max } = LIMITS.girthMm;
  const perUnit = unit === 'mm' ? 1 : MM_PER_INCH;
  const digits = unit === 'mm' ? 0 : 2;
  const round = (value: number) => Math.round(value * 10) / 10;
  return (
    <div className="field-and-unit">
      <MmField
        label="Head girth"
        unit={unit}
        digits={digits}
        min={Math.ceil((min / perUnit) * 10 ** digits) / 10 ** digits}
        max={Math.floor((max / perUnit) * 10 ** digits) / 10 ** digits}
        value={girthMm / perUnit}
        onChange={(next) => {
          // What the field only rounds off for showing must not come back as a change.
          if (Math.abs(next * perUnit - girthMm) > (0.5 * perUnit) / 10 ** digits)
            onChange(round(next * perUnit));
        }}
      />
      <Choice
        label="Unit of the tape"
        options={[
          { id: 'mm', words: 'mm' },
          { id: 'in', words: 'inch' },
        ]}
        value={unit}
        onChange={setUnit}
      />
    </div>
  );
}
