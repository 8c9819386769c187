import type Konva from 'konva';
import { useEffect, useRef } from 'react';
import { Circle, Group, Line } from 'react-konva';
import type { PlanePoint } from '../../geometry/point.ts';
import { usePalette } from '../look/palette.ts';
import { onCanvas } from './plane-shapes.tsx';
import { useZoom } from './zoom-context.ts';

/** Half of what a thumb covers, px: the handle can be caught anywhere inside. */
const REACH_PX = 22;

interface PlaneHandleProps {
  readonly at: PlanePoint;
  readonly onStart: () => void;
  /** Told where the pointer drags it; gives where the handle then stands (on an edge, say). */
  readonly onMove: (to: PlanePoint) => PlanePoint;
  readonly onEnd: () => void;
  /** The drag was given up with Escape. */
  readonly onCancel: () => void;
}

/** A handle on a PlaneTable that is dragged by mouse, pen or thumb; keeps its size on the screen. */
export function PlaneHandle({ at, onStart, onMove, onEnd, onCancel }: PlaneHandleProps) {
  const palette = usePalette();
  const zoom = useZoom();
  const node = useRef<Konva.Group>(null);
  const dragging = useRef(false);
  const cancel = useRef(onCancel);
  useEffect(() => {
    cancel.current = onCancel;
  });
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.key !== 'Escape' || !dragging.current) return;
      dragging.current = false;
      node.current?.stopDrag();
      cancel.current();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);

  const { x, y } = onCanvas(at);
  // A drag moves the node by itself: when it ends elsewhere than where the handle stands, it is put back.
  useEffect(() => {
    if (!dragging.current) node.current?.position({ x, y });
  });
  const setCursor = (cursor: string) => {
    const container = node.current?.getStage()?.container();
    if (container) container.style.cursor = cursor;
  };
  return (
    <Group
      ref={node}
      x={x}
      y={y}
      scaleX={1 / zoom}
      scaleY={1 / zoom}
      draggable
      onMouseEnter={() => setCursor('move')}
      onMouseLeave={() => setCursor('')}
      onDragStart={() => {
        dragging.current = true;
        onStart();
      }}
      onDragMove={(event) => {
        if (!dragging.current) return;
        const to = onMove({ x: event.target.x(), y: -event.target.y() });
        event.target.position(onCanvas(to));
      }}
      onDragEnd={() => {
        if (!dragging.current) return;
        dragging.current = false;
        onEnd();
      }}
    >
      <Circle radius={REACH_PX} fill="#000000" opacity={0} />
      <Circle radius={10} fill={palette.paper} stroke={palette.accent} strokeWidth={3} listening={false} />
      <Line points={[-4, 0, 4, 0]} stroke={palette.accent} strokeWidth={2} listening={false} />
      <Line points={[0, -4, 0, 4]} stroke={palette.accent} strokeWidth={2} listening={false} />
    </Group>
  );
}
