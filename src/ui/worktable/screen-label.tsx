import Konva from 'konva';
import { useMemo } from 'react';
import { Label, Tag, Text } from 'react-konva';
import { usePalette } from '../look/palette.ts';
import { useZoom } from './zoom-context.ts';

interface ScreenLabelProps {
  /** In the canvas frame of the table. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
  /** Where the label lies: above or below its point with a small tail, or centred over it. */
  readonly side?: 'above' | 'below' | 'over';
  readonly color?: string;
  /** Reads from bottom to top, for the height of something. */
  readonly isUpright?: boolean;
}

const POINTER = { above: 'down', below: 'up', over: 'none' } as const;
const LETTERS = { fontFamily: 'system-ui, sans-serif', fontSize: 13, padding: 5 };

function sizeOf(text: string): { readonly width: number; readonly height: number } {
  const probe = new Konva.Text({ ...LETTERS, text });
  const size = { width: probe.width(), height: probe.height() };
  probe.destroy();
  return size;
}

/** Words on the table that keep their size on the screen; light on dark in both themes, readable on any photo. */
export function ScreenLabel({ x, y, text, side = 'above', color, isUpright = false }: ScreenLabelProps) {
  const palette = usePalette();
  const zoom = useZoom();
  const size = useMemo(() => sizeOf(text), [text]);
  const centring = side === 'over' ? { offsetX: size.width / 2, offsetY: size.height / 2 } : {};
  return (
    <Label
      x={x}
      y={y}
      scaleX={1 / zoom}
      scaleY={1 / zoom}
      {...centring}
      {...(isUpright && { rotation: -90 })}
      listening={false}
      opacity={0.92}
    >
      <Tag
        fill={color ?? palette.tag}
        cornerRadius={4}
        pointerDirection={POINTER[side]}
        pointerWidth={10}
        pointerHeight={6}
      />
      <Text {...LETTERS} text={text} fill={palette.tagText} />
    </Label>
  );
}
