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
}

const POINTER = { above: 'down', below: 'up', over: 'none' } as const;
const LETTERS = { fontFamily: 'system-ui, sans-serif', fontSize: 13, padding: 5 };

function sizeOf(text: string): { readonly width: number; readonly height: number } {
  const probe = new Konva.Text({ ...LETTERS, text });
  const size = { width: probe.width(), height: probe.height() };
  probe.destroy();
  return size;
}

/** True for a ground on which dark letters read better than light ones; the weights are those of luma (ITU-R BT.709). */
function isPale(hex: string): boolean {
  const [r, g, b] = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b! > 128;
}

/** Words on the table that keep their size on the screen; light on dark unless its colour is pale, readable on any photo. */
export function ScreenLabel({ x, y, text, side = 'above', color }: ScreenLabelProps) {
  const palette = usePalette();
  const ground = color ?? palette.tag;
  const zoom = useZoom();
  const size = useMemo(() => sizeOf(text), [text]);
  const centring = side === 'over' ? { offsetX: size.width / 2, offsetY: size.height / 2 } : {};
  return (
    <Label x={x} y={y} scaleX={1 / zoom} scaleY={1 / zoom} {...centring} listening={false} opacity={0.92}>
      <Tag
        fill={ground}
        cornerRadius={4}
        pointerDirection={POINTER[side]}
        pointerWidth={10}
        pointerHeight={6}
      />
      <Text {...LETTERS} text={text} fill={isPale(ground) ? palette.tag : palette.tagText} />
    </Label>
  );
}
