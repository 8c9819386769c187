import { Plus, Trash2, UserRound } from 'lucide-react';
import {
  addWearer,
  changeWearer,
  chooseWearer,
  removeWearer,
} from '../../build/commands/wearers-and-foams.ts';
import type { Wearer } from '../../build/fit-types.ts';
import { LIMITS } from '../../build/limits.ts';
import { chosenWearer } from '../../build/lookups.ts';
import { girthSense } from '../../fit/girth-sense.ts';
import { hatSizeOf } from '../../fit/hat-size.ts';
import { MEASURE_NAMES } from '../../fit/head-measures.ts';
import { measureSense } from '../../fit/measure-sense.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { More } from '../controls/more.tsx';
import { Notice } from '../controls/notice.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { TextLine } from '../controls/text-line.tsx';
import { setTapeUnit, useDesk } from '../desk.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { HatSizes } from './hat-sizes.tsx';
import { HeadMeasuresList, HOW_TO } from './head-measures-list.tsx';
import { TapeDrawing } from './tape-drawings.tsx';
import { TapeField } from './tape-field.tsx';

/** Whom the headpiece is made for. */
export function WearerPart() {
  const wearers = useBuild((build) => build.wearers);
  const wearer = useBuild(chosenWearer);
  const unit = useDesk((desk) => desk.tapeUnit);
  const { id: wearerId, name, girthMm } = wearer;
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
      <div className="tape-row">
        <TapeDrawing measure="girthMm" />
        <div className="stack">
          <div className="field-and-unit">
            <TapeField
              label={MEASURE_NAMES.girthMm}
              valueMm={girthMm}
              unit={unit}
              range={LIMITS.girthMm}
              onChange={(next) => {
                if (next !== undefined)
                  change(`Head girth of ${name}`, (build) =>
                    changeWearer(build, { wearerId, girthMm: next }),
                  );
              }}
            />
            <Choice
              label="Unit of the tape"
              options={[
                { id: 'mm', words: 'mm' },
                { id: 'in', words: 'inch' },
              ]}
              value={unit}
              onChange={setTapeUnit}
            />
          </div>
          <p className="small quiet">
            {HOW_TO.girthMm} {hatWords(girthMm)}
          </p>
        </div>
      </div>
      <GirthNotice wearer={wearer} />
      <More title="More measures of this head">
        <p className="small quiet">
          Only the girth is needed. Length and breadth give the head its true shape from above; the others
          help with bars, crests and face pieces. What is not measured is estimated from adults who were: ±
          holds 95 times in 100.
        </p>
        <HeadMeasuresList wearer={wearer} unit={unit} />
      </More>
      <More title="Hat sizes">
        <HatSizes girthMm={girthMm} />
      </More>
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

function hatWords(girthMm: number): string {
  const { us, uk, euCm } = hatSizeOf(girthMm);
  return `Hat size ${us} US, ${uk} UK, ${euCm} EU.`;
}

function GirthNotice({ wearer }: { readonly wearer: Wearer }) {
  const words = measureSense('girthMm', wearer.girthMm, wearer);
  if (!words) return null;
  return (
    <Notice tone={girthSense(wearer.girthMm).kind === 'unusable' ? 'wrong' : 'look'}>
      <p>{words}</p>
    </Notice>
  );
}
