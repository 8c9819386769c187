import { Label, Tag, Text } from 'react-konva';
import { usePalette } from '../look/palette.ts';
import { useZoom } from './zoom-context.ts';

interface ScreenLabelProps {
  /** In the canvas frame of the table. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
  /** Where the label lies from its point. */
  readonly side?: 'above' | 'below' | 'over';
  readonly color?: string;
}

const POINTER = { above: 'down', below: 'up', over: 'none' } as const;
const SIZE_PX = 13;

/** Words on the table that keep their size on the screen; light on dark in both themes, readable on any photo. */
export function ScreenLabel({ x, y, text, side = 'above', color }: ScreenLabelProps) {
  const palette = usePalette();
  const zoom = useZoom();
  return (
    <Label x={x} y={y} scaleX={1 / zoom} scaleY={1 / zoom} listening={false} opacity={0.92}>
      <Tag
        fill={color ?? palette.tag}
        cornerRadius={4}
        pointerDirection={POINTER[side]}
        pointerWidth={10}
        pointerHeight={6}
        {...(side === 'over' && { offsetX: 0 })}
      />
      <Text
        text={text}
        fill={palette.tagText}
        fontFamily="system-ui, sans-serif"
        fontSize={SIZE_PX}
        padding={5}
      />
    </Label>
  );
}
