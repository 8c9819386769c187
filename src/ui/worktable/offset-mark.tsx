import { Arrow, Circle, Group, Line } from 'react-konva';
import { distanceMm, midpoint, type PlanePoint } from '../../geometry/point.ts';
import { minus, plus, times, unit } from '../../geometry/vector.ts';
import { usePalette } from '../look/palette.ts';
import { onCanvas } from './plane-shapes.tsx';
import { ScreenLabel } from './screen-label.tsx';
import { useZoom } from './zoom-context.ts';

interface OffsetMarkProps {
  /** From the edge that lies still to the one laid on it. */
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly words: string;
  /** The mark stands on the side away from here: the middle of the piece. */
  readonly awayFrom: PlanePoint;
  /** For the one that matters most. */
  readonly isStrong?: boolean;
}

/** Length of the arrow that points at the gap, and how far beyond its tail the words stand, px. */
const ARROW_PX = 26;
const WORDS_PX = 19;

/** A gap between two edges with its figure: too small to draw an arrow inside, so one points at it from beside, as on a drawing. */
export function OffsetMark({ from, to, words, awayFrom, isStrong = false }: OffsetMarkProps) {
  const palette = usePalette();
  const zoom = useZoom();
  const middle = midpoint(from, to);
  const outward = unit(minus(middle, awayFrom)) ?? { x: 0, y: 1 };
  const across = unit(minus(to, from)) ?? outward;
  const along = across.x * outward.x + across.y * outward.y >= 0 ? across : times(across, -1);
  const tip = plus(middle, times(along, distanceMm(from, to) / 2));
  const at = onCanvas(tip);
  // From here on in screen px round the tip, y down.
  const [dx, dy] = [along.x, -along.y];
  const tail = { x: dx * ARROW_PX, y: dy * ARROW_PX };
  const gapPx = distanceMm(from, to) * zoom;
  const color = isStrong ? palette.wrong : palette.look;
  return (
    <>
      <Group x={at.x} y={at.y} scaleX={1 / zoom} scaleY={1 / zoom} listening={false}>
        <Line points={[0, 0, -dx * gapPx, -dy * gapPx]} stroke={color} strokeWidth={isStrong ? 4 : 3} />
        <Circle radius={2.5} x={-dx * gapPx} y={-dy * gapPx} fill={color} />
        <Arrow
          points={[tail.x, tail.y, dx * 3, dy * 3]}
          stroke={color}
          fill={color}
          strokeWidth={isStrong ? 2.5 : 1.75}
          pointerLength={9}
          pointerWidth={8}
        />
      </Group>
      <ScreenLabel
        x={at.x + tail.x / zoom}
        y={at.y + (tail.y + (dy > 0.3 ? WORDS_PX : -WORDS_PX)) / zoom}
        text={words}
        side="over"
      />
    </>
  );
}
