import { Circle, Group, Line } from 'react-konva';
import type { Piece } from '../../build/types.ts';
import { distanceMm, midpoint, type PlanePoint } from '../../geometry/point.ts';
import { mmWords } from '../controls/number-words.ts';
import { usePalette } from '../look/palette.ts';
import { onCanvas } from '../worktable/plane-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import type { TapHow } from '../worktable/worktable.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { lineNear, snappedPoint } from './edit-pointer.ts';
import { PaintMarks } from './paint-part.tsx';
import { paintOf } from './paint.ts';
import { type Sitting, useSittingState } from './sitting.ts';
import { WireMarks } from './wire-part.tsx';
import { tapWire } from './wire.ts';
import { centreMarkAt, finishDrawing, notchAt, placementAt, wordsAt } from './tool-actions.ts';

/** A tap this near to an edge means a place on it, px. */
const EDGE_REACH_PX = 30;
/** A tap this near to the first point closes the line being drawn, px. */
const CLOSE_PX = 12;

/** A tap with a tool in hand that adds or measures something. */
export function tapWithTool(sitting: Sitting, piece: Piece, at: PlanePoint, how: TapHow): void {
  const { tool, points } = sitting.store.getState();
  const snapped = snappedPoint(sitting, piece.axis, at, how.zoom);
  if (tool === 'wire') tapWire(sitting, at, CLOSE_PX / how.zoom);
  else if (tool === 'words') wordsAt(sitting, at);
  else if (tool === 'placement') placementAt(sitting, at);
  else if (tool === 'notch' || tool === 'centre') {
    const near = lineNear(sitting.lines(), at, EDGE_REACH_PX / how.zoom);
    if (near) (tool === 'notch' ? notchAt : centreMarkAt)(sitting, near.line.id, near.place);
  } else if (tool === 'measure') {
    sitting.store.setState({ points: points.length === 2 ? [snapped] : [...points, snapped] });
  } else if (tool === 'draw') {
    const [first] = points;
    if (first && points.length > 2 && distanceMm(first, at) < CLOSE_PX / how.zoom)
      finishDrawing(sitting, true);
    else sitting.store.setState({ points: [...points, snapped] });
  }
}

/** The points set so far with a tool, and the line between them. */
export function ToolMarks() {
  const palette = usePalette();
  const zoom = useZoom();
  const points = useSittingState((state) => state.points);
  const tool = useSittingState((state) => state.tool);
  if (paintOf(tool)) return <PaintMarks />;
  if (points.length === 0) return null;
  if (tool === 'wire') return <WireMarks />;
  const [a, b] = points;
  return (
    <Group>
      <Line
        points={points.flatMap(({ x, y }) => [x, -y])}
        stroke={palette.accent}
        strokeWidth={2}
        strokeScaleEnabled={false}
        {...(tool === 'measure' && { dash: [6, 4] })}
      />
      {points.map((point, i) => (
        <Circle key={i} {...onCanvas(point)} radius={4.5 / zoom} fill={palette.accent} />
      ))}
      {tool === 'measure' && a && b && (
        <ScreenLabel {...onCanvas(midpoint(a, b))} text={`${mmWords(distanceMm(a, b), 2)} mm`} />
      )}
    </Group>
  );
}
