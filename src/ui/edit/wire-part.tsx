import { type ReactNode, useState } from 'react';
import { Circle, Group, Line } from 'react-konva';
import { LINE_STYLES } from '../../geometry/line-kinds.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { PickFrom } from '../controls/pick-from.tsx';
import { usePalette } from '../look/palette.ts';
import { onCanvas } from '../worktable/plane-shapes.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { KINDS } from './edit-keys.ts';
import { useSitting, useSittingState } from './sitting.ts';
import { addToWire, finishWire, FOLLOWING } from './wire.ts';

/** The settings of the tool that follows an edge, and its way by keys. */
export function WireFields({ atPicked }: { readonly atPicked: ReactNode }) {
  const sitting = useSitting();
  const { drawKind } = useSittingState((state) => state.settings);
  const points = useSittingState((state) => state.points);
  return (
    <>
      <JobStatus jobKey={FOLLOWING} />
      <div className="row">
        <ActionButton isDisabled={points.length < 2} onPress={() => void finishWire(sitting, false)}>
          End the line
        </ActionButton>
        <ActionButton isDisabled={points.length < 3} onPress={() => void finishWire(sitting, true)}>
          Close it
        </ActionButton>
      </div>
      <p className="small quiet">
        Where it begins and ends on one line, it takes the place of that line’s part between; else it is a
        line of its own.
      </p>
      <PickFrom
        label="A line of its own is a"
        options={KINDS.map((kind) => ({ id: kind, words: `${LINE_STYLES[kind].label} line` }))}
        value={drawKind}
        onChange={(kind) => sitting.set({ drawKind: kind })}
      />
      <TypedPlace />
      {atPicked}
    </>
  );
}

function TypedPlace() {
  const sitting = useSitting();
  const [x, setX] = useState<number | undefined>(undefined);
  const [y, setY] = useState<number | undefined>(undefined);
  return (
    <>
      <div className="row">
        <MmField label="Next place across" value={x} hasSteps={false} onChange={setX} />
        <MmField label="Next place up" value={y} hasSteps={false} onChange={setY} />
      </div>
      <div className="row">
        <ActionButton
          isDisabled={x === undefined || y === undefined}
          onPress={() => x !== undefined && y !== undefined && addToWire(sitting, { x, y })}
        >
          Add this place
        </ActionButton>
      </div>
    </>
  );
}

/** The places set and the edge found between them; dashed where it is still looked for. */
export function WireMarks() {
  const palette = usePalette();
  const zoom = useZoom();
  const points = useSittingState((state) => state.points);
  const stretches = useSittingState((state) => state.stretches);
  // A place whose stretch is found stands on the edge.
  const places = points.map((point, i) => (i === 0 ? stretches[0]?.[0] : stretches[i - 1]?.at(-1)) ?? point);
  const found = stretches.flat();
  const waiting = places.slice(stretches.length);
  return (
    <Group>
      {/* A pale casing, so that it shows on any ground in the photo. */}
      <Line
        points={found.flatMap(({ x, y }) => [x, -y])}
        stroke={palette.paper}
        strokeWidth={6}
        strokeScaleEnabled={false}
        lineJoin="round"
        lineCap="round"
      />
      {[found, waiting].map((line, i) => (
        <Line
          key={i}
          points={line.flatMap(({ x, y }) => [x, -y])}
          stroke={palette.accent}
          strokeWidth={2.5}
          lineJoin="round"
          strokeScaleEnabled={false}
          {...(i === 1 && { dash: [6, 4] })}
        />
      ))}
      {places.map((point, i) => (
        <Circle
          key={i}
          {...onCanvas(point)}
          radius={4.5 / zoom}
          fill={palette.accent}
          stroke={palette.paper}
          strokeWidth={1.5}
          strokeScaleEnabled={false}
        />
      ))}
    </Group>
  );
}
