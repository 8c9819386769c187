import { Brush, X } from 'lucide-react';
import type { ReactNode } from 'react';
import { Circle, Group, Line } from 'react-konva';
import { ActionButton } from '../controls/action-button.tsx';
import { Choice } from '../controls/choice.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { usePalette } from '../look/palette.ts';
import { onCanvas } from '../worktable/plane-shapes.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { brushPlace, paintOf, putBrush } from './paint.ts';
import { useLines, usePicks, useSitting, useSittingState } from './sitting.ts';

/** Narrower leaves nothing that can be cut. */
const BRUSH = { min: 1, max: 200 };

/** The settings of the brush, and its way by keys. */
export function PaintFields({ atPicked }: { readonly atPicked: ReactNode }) {
  const sitting = useSitting();
  const tool = useSittingState((state) => state.tool);
  const { brushMm } = useSittingState((state) => state.settings);
  const isDown = useSittingState((state) => state.points.length > 0);
  return (
    <>
      <Choice
        label="The brush"
        options={[
          { id: 'paint-in', words: 'Add foam' },
          { id: 'paint-out', words: 'Take away' },
        ]}
        value={tool === 'paint-out' ? 'paint-out' : 'paint-in'}
        onChange={(next) => sitting.take(next)}
      />
      <MmField
        label="Width of the brush"
        value={brushMm}
        {...BRUSH}
        onChange={(mm) => sitting.set({ brushMm: mm })}
      />
      <p className="small quiet">
        Only cut lines and cut-outs change. Two fingers or the middle mouse button move the table. By keys:
        arrows move the brush, Space puts it down and lifts it.
      </p>
      <div className="row">
        <ActionButton icon={Brush} onPress={() => putBrush(sitting)}>
          {isDown ? 'Lift the brush' : 'Put the brush down'}
        </ActionButton>
        <ActionButton icon={X} isDisabled={!isDown} onPress={() => sitting.store.setState({ points: [] })}>
          Give up
        </ActionButton>
      </div>
      {atPicked}
    </>
  );
}

/** Half a sign's length in the middle of the brush, px. */
const SIGN_PX = 5;
const RIM_PX = 2;

/** The brush and what it has swept so far: filled where foam is added, bare with a rim where it is taken away. */
export function PaintMarks() {
  const palette = usePalette();
  const zoom = useZoom();
  const lines = useLines();
  const picks = usePicks();
  const tool = useSittingState((state) => state.tool);
  const brush = useSittingState((state) => state.brush);
  const points = useSittingState((state) => state.points);
  const { brushMm } = useSittingState((state) => state.settings);
  const at = brushPlace(brush, lines, picks);
  const adds = paintOf(tool) === 'in';
  // A stroke of one place has no length to be drawn along.
  const swept =
    points.length === 1 ? [points[0]!, { x: points[0]!.x + 0.01 / zoom, y: points[0]!.y }] : points;
  const band = {
    points: swept.flatMap(({ x, y }) => [x, -y]),
    lineCap: 'round',
    lineJoin: 'round',
  } as const;
  return (
    <Group>
      {swept.length > 0 && (
        <Group opacity={0.7}>
          <Line {...band} stroke={palette.accent} strokeWidth={brushMm} />
          {!adds && (
            <Line
              {...band}
              stroke={palette.paper}
              strokeWidth={Math.max(0.01, brushMm - (2 * RIM_PX) / zoom)}
            />
          )}
        </Group>
      )}
      {at && (
        <Group {...onCanvas(at)}>
          <Circle radius={brushMm / 2 + RIM_PX / zoom} stroke={palette.paper} strokeWidth={RIM_PX / zoom} />
          <Circle radius={brushMm / 2} stroke={palette.ink} strokeWidth={RIM_PX / zoom} />
          <Sign isPlus={adds} half={SIGN_PX / zoom} casing={palette.paper} ink={palette.ink} />
        </Group>
      )}
    </Group>
  );
}

interface SignProps {
  readonly isPlus: boolean;
  readonly half: number;
  readonly casing: string;
  readonly ink: string;
}

/** A plus or a minus. */
function Sign({ isPlus, half, casing, ink }: SignProps) {
  const bars = isPlus
    ? [
        [-half, 0, half, 0],
        [0, -half, 0, half],
      ]
    : [[-half, 0, half, 0]];
  return [
    { stroke: casing, strokeWidth: half },
    { stroke: ink, strokeWidth: 0.4 * half },
  ].map((pen) =>
    bars.map((bar) => <Line key={`${pen.stroke} ${bar.join(' ')}`} points={bar} lineCap="round" {...pen} />),
  );
}
