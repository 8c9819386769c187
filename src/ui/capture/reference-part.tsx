import { Crosshair, Scaling } from 'lucide-react';
import { useState } from 'react';
import { setReferences } from '../../build/commands/references.ts';
import type { CaptureRecord } from '../../build/types.ts';
import type { Reference } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { mmWords } from '../controls/number-words.ts';
import { Tick } from '../controls/tick.tsx';
import { measurePhoto } from '../measuring.ts';
import { PanelPart } from '../shell/stage-frame.tsx';
import { type OtherKind, type Pointing, withCorners, withoutReference, withReference } from './pointing.ts';
import { PointingSteps } from './pointing-steps.tsx';
import { SheetFields } from './sheet-fields.tsx';

interface ReferencePartProps {
  readonly record: CaptureRecord;
  readonly pointing: Pointing | undefined;
  readonly onPointing: (pointing: Pointing | undefined) => void;
}

const CARDS_ALONE: readonly Reference[] = [{ kind: 'cards' }];

/** What the photo is measured by: several things add up. */
export function ReferencePart({ record, pointing, onPointing }: ReferencePartProps) {
  const { id: captureId } = record;
  // Shown while the photo is measured anew; the build takes it in together with what was found.
  const [pending, setPending] = useState<readonly Reference[] | undefined>(undefined);
  const now = pending ?? record.references ?? CARDS_ALONE;
  const of = <K extends Reference['kind']>(kind: K) =>
    now.find((reference): reference is Extract<Reference, { kind: K }> => reference.kind === kind);
  const put = (references: readonly Reference[]) => {
    onPointing(undefined);
    setPending(references);
    void measurePhoto(captureId, 'Choose what to measure by', (build) =>
      setReferences(build, { captureId, references }),
    ).finally(() => setPending((latest) => (latest === references ? undefined : latest)));
  };
  const turn = (reference: Reference, isOn: boolean) =>
    put(isOn ? withReference(now, reference) : withoutReference(now, reference.kind));
  const [bankCard, sheet, pair] = [of('bank-card'), of('sheet'), of('two-points')];
  const steps = (kind: OtherKind) =>
    pointing?.kind === kind && (
      <PointingSteps
        pointing={pointing}
        onPointing={onPointing}
        onCorners={(pointed) => put(withCorners(now, pointed))}
        onTwoPoints={(reference) => put(withReference(now, reference))}
      />
    );
  const pointAt = (kind: OtherKind, words: string) =>
    pointing?.kind !== kind && (
      <ActionButton icon={Crosshair} onPress={() => onPointing({ kind, placesPx: [] })}>
        {words}
      </ActionButton>
    );
  return (
    <PanelPart title="Measured by" icon={Scaling}>
      <Tick isOn={of('cards') !== undefined} onChange={(isOn) => turn({ kind: 'cards' }, isOn)}>
        Scale cards
      </Tick>
      <Tick isOn={bankCard !== undefined} onChange={(isOn) => turn({ kind: 'bank-card' }, isOn)}>
        Bank card
      </Tick>
      {bankCard && (
        <div className="stack">
          {pointAt('bank-card', bankCard.nearPx ? 'Point at its corners again' : 'Point at its four corners')}
          {steps('bank-card')}
        </div>
      )}
      <Tick isOn={sheet !== undefined} onChange={(isOn) => turn({ kind: 'sheet', sheet: 'A4' }, isOn)}>
        Sheet of paper
      </Tick>
      {sheet && (
        <div className="stack">
          <SheetFields
            key={sheet.sheet}
            reference={sheet}
            onChange={(next) => put(withReference(now, next))}
          />
          {pointAt('sheet', sheet.nearPx ? 'Point at its corners again' : 'Point at its four corners')}
          {steps('sheet')}
        </div>
      )}
      <Tick
        isOn={pair !== undefined || pointing?.kind === 'two-points'}
        onChange={(isOn) => {
          if (isOn) onPointing({ kind: 'two-points', placesPx: [] });
          else if (pair) put(withoutReference(now, 'two-points'));
          else onPointing(undefined);
        }}
      >
        Two points
      </Tick>
      {(pair || pointing?.kind === 'two-points') && (
        <div className="stack">
          <p className="small quiet">
            {pair && `${mmWords(pair.distanceMm)} mm apart. `}
            {now.some(({ kind }) => kind !== 'two-points')
              ? 'They add a length to what else the photo is measured by, which shows the tilt.'
              : 'Two points hold only for a photo taken from straight above: they cannot show a tilt.'}
          </p>
          {pair && pointAt('two-points', 'Place them again')}
          {steps('two-points')}
        </div>
      )}
    </PanelPart>
  );
}
