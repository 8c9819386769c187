import { useState } from 'react';
import { LINE_STYLES } from '../../geometry/line-kinds.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { More } from '../controls/more.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { clean, fair, offset, shapeCorners, straighten } from './edit-actions.ts';
import { KINDS } from './edit-keys.ts';
import { usePicks, useSitting } from './sitting.ts';

/** What is done to a stretch, to corners and to a whole line by a figure. */
export function ShapePart() {
  const picks = usePicks();
  return (
    <PanelPart title="Shape">
      <p className="small quiet">
        {picks.length > 1
          ? 'On the stretch between the joints picked first and last.'
          : 'Pick the two ends of a stretch; one joint stands for its whole line.'}
      </p>
      <StretchVerbs />
      <More title="Cut off or round corners">
        <CornerVerbs />
      </More>
      <More title="Line at equal distance">
        <OffsetVerbs />
      </More>
    </PanelPart>
  );
}

/** Below a hundredth nothing is seen, above 20 mm it is another line. */
const MOVE = { min: 0.01, max: 20, digits: 2 };

function StretchVerbs() {
  const sitting = useSitting();
  const [fairMm, setFairMm] = useState(0.3);
  const [cleanMm, setCleanMm] = useState(0.15);
  return (
    <>
      <div className="row">
        <ActionButton onPress={() => straighten(sitting)}>Straighten</ActionButton>
      </div>
      <div className="field-and-button">
        <MmField
          label="Even out, moving at most"
          value={fairMm}
          {...MOVE}
          hasSteps={false}
          onChange={setFairMm}
        />
        <ActionButton onPress={() => fair(sitting, fairMm)}>Even out</ActionButton>
      </div>
      <div className="field-and-button">
        <MmField
          label="Clean up again, within"
          value={cleanMm}
          {...MOVE}
          hasSteps={false}
          onChange={setCleanMm}
        />
        <ActionButton onPress={() => clean(sitting, cleanMm)}>Clean up</ActionButton>
      </div>
    </>
  );
}

const CORNER = { min: 0.1, max: 500 };

function CornerVerbs() {
  const sitting = useSitting();
  const [sizeMm, setSizeMm] = useState(5);
  return (
    <>
      <MmField label="Radius, or distance from the corner" value={sizeMm} {...CORNER} onChange={setSizeMm} />
      <div className="row">
        <ActionButton onPress={() => shapeCorners(sitting, 'round', sizeMm)}>Round</ActionButton>
        <ActionButton onPress={() => shapeCorners(sitting, 'cut', sizeMm)}>Cut off</ActionButton>
      </div>
    </>
  );
}

const OFFSET = { min: -200, max: 200 };

function OffsetVerbs() {
  const sitting = useSitting();
  const [distanceMm, setDistanceMm] = useState(5);
  const [corner, setCorner] = useState<'sharp' | 'round'>('sharp');
  const [into, setInto] = useState<'same' | (typeof KINDS)[number]>('same');
  return (
    <>
      <MmField
        label="Distance outwards"
        help="Less than zero is inwards; for an open line, to its right."
        value={distanceMm}
        {...OFFSET}
        onChange={setDistanceMm}
      />
      <Choice
        label="Corners"
        options={[
          { id: 'sharp', words: 'Sharp corners' },
          { id: 'round', words: 'Round corners' },
        ]}
        value={corner}
        onChange={setCorner}
      />
      <PickFrom
        label="It becomes"
        options={[
          { id: 'same', words: 'the line itself, moved' },
          ...KINDS.map((kind) => ({ id: kind, words: `a new ${LINE_STYLES[kind].label} line` })),
        ]}
        value={into}
        onChange={setInto}
      />
      <div className="row">
        <ActionButton onPress={() => offset(sitting, { distanceMm, corner, into })}>
          Make the line
        </ActionButton>
      </div>
    </>
  );
}
