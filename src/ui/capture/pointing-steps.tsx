import { Undo2, X } from 'lucide-react';
import { useEffect, useState } from 'react';
import { LIMITS } from '../../build/limits.ts';
import type { Reference } from '../../capture/types.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { More } from '../controls/more.tsx';
import { isPointingDone, type Pointing, placesWanted } from './pointing.ts';

interface PointingStepsProps {
  readonly pointing: Pointing;
  readonly onPointing: (pointing: Pointing | undefined) => void;
  readonly onCorners: (pointing: Pointing) => void;
  readonly onTwoPoints: (reference: Extract<Reference, { readonly kind: 'two-points' }>) => void;
}

const ORDINALS = ['first', 'second', 'third', 'fourth'];

function nextStep({ kind, placesPx }: Pointing): string {
  const next = ORDINALS[placesPx.length];
  if (kind !== 'two-points')
    return `Tap its ${next} corner on the photo, to within a few millimetres; any order.`;
  return next === 'first' || next === 'second'
    ? `Tap the ${next} point on the photo. Best right across the piece.`
    : 'Enter how far they are apart.';
}

/** Corners or points, tapped on the photo or typed, and what to do next in words. */
export function PointingSteps({ pointing, onPointing, onCorners, onTwoPoints }: PointingStepsProps) {
  const { kind, placesPx } = pointing;
  const [distanceMm, setDistance] = useState<number | undefined>(undefined);
  const isDone = isPointingDone(pointing);
  const isCorners = kind !== 'two-points';
  // Four corners say all there is to say.
  useEffect(() => {
    if (isDone && isCorners) onCorners(pointing);
  }, [isDone, isCorners, onCorners, pointing]);
  const [from, to] = placesPx;
  return (
    <div className="stack">
      <p role="status">
        {nextStep(pointing)} ({placesPx.length} of {placesWanted(kind)})
      </p>
      {!isDone && <TypedPlace onPlace={(place) => onPointing({ kind, placesPx: [...placesPx, place] })} />}
      {isDone && from && to && !isCorners && (
        <MmField
          label="Distance between them"
          value={distanceMm}
          onChange={setDistance}
          {...LIMITS.tapeLengthMm}
        />
      )}
      <div className="row">
        {isDone && from && to && !isCorners && (
          <ActionButton
            kind="main"
            isDisabled={distanceMm === undefined}
            onPress={() =>
              distanceMm !== undefined &&
              onTwoPoints({ kind: 'two-points', fromPx: from, toPx: to, distanceMm })
            }
          >
            Use them
          </ActionButton>
        )}
        {placesPx.length > 0 && (
          <ActionButton
            kind="quiet"
            icon={Undo2}
            onPress={() => onPointing({ kind, placesPx: placesPx.slice(0, -1) })}
          >
            Take back
          </ActionButton>
        )}
        <ActionButton kind="quiet" icon={X} onPress={() => onPointing(undefined)}>
          Cancel
        </ActionButton>
      </div>
    </div>
  );
}

/** For the keyboard: a place by its pixels in the photo. */
function TypedPlace({ onPlace }: { readonly onPlace: (place: { u: number; v: number }) => void }) {
  const [u, setU] = useState<number | undefined>(undefined);
  const [v, setV] = useState<number | undefined>(undefined);
  return (
    <More title="Type the place instead">
      <MmField
        label="From the left edge"
        unit="px"
        digits={0}
        min={0}
        value={u}
        onChange={setU}
        hasSteps={false}
      />
      <MmField
        label="From the top edge"
        unit="px"
        digits={0}
        min={0}
        value={v}
        onChange={setV}
        hasSteps={false}
      />
      <ActionButton
        isDisabled={u === undefined || v === undefined}
        onPress={() => {
          if (u === undefined || v === undefined) return;
          onPlace({ u, v });
          setU(undefined);
          setV(undefined);
        }}
      >
        Put it there
      </ActionButton>
    </More>
  );
}
