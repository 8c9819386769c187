import { memo, useMemo } from 'react';
import { Line, Path as KonvaPath, Shape } from 'react-konva';
import { LINE_STYLES, type LineKind } from '../../geometry/line-kinds.ts';
import type { Bounds } from '../../geometry/measure.ts';
import type { Path } from '../../geometry/path.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import { type Palette, usePalette } from '../look/palette.ts';
import { useZoom } from './zoom-context.ts';

/** A plane point in the canvas frame of a PlaneTable, whose y runs down. */
export function onCanvas({ x, y }: PlanePoint): { x: number; y: number } {
  return { x, y: -y };
}

/** SVG path data of a path, in the canvas frame of a PlaneTable. */
export function canvasData(path: Path): string {
  const at = ({ x, y }: PlanePoint) => `${x} ${-y}`;
  const parts = path.segments.map((segment) =>
    segment.kind === 'line' ? `L${at(segment.to)}` : `C${at(segment.c1)} ${at(segment.c2)} ${at(segment.to)}`,
  );
  return `M${at(path.start)}${parts.join('')}${path.closed ? 'Z' : ''}`;
}

/** Screen px of a dash's millimetre: dashes keep their look at every zoom. */
export const DASH_PX_PER_MM = 2.6;

/** Colour of a line kind on the screen: black ones take the theme's ink. */
export function lineColor(kind: LineKind, palette: Palette): string {
  const { color } = LINE_STYLES[kind];
  return color === '#000000' ? palette.ink : color;
}

interface PlaneLineProps {
  readonly path: Path;
  readonly kind: LineKind;
  /** Told by `onTap` of the table when this line (or its inside, if filled) is tapped. */
  readonly id?: string;
  readonly fill?: string;
  readonly isStrong?: boolean;
  /** In place of the kind's own colour, e.g. for a line as it was before. */
  readonly color?: string;
  readonly opacity?: number;
  /** In place of the kind's own dash, mm on paper. */
  readonly dashMm?: readonly number[] | undefined;
}

/** One line of a piece on a PlaneTable, in the colour and dash of its kind. */
export const PlaneLine = memo(function PlaneLine({
  path,
  kind,
  id,
  fill,
  isStrong = false,
  color,
  opacity = 1,
  dashMm = LINE_STYLES[kind].dashMm,
}: PlaneLineProps) {
  const palette = usePalette();
  const data = useMemo(() => canvasData(path), [path]);
  return (
    <KonvaPath
      data={data}
      {...(id !== undefined && { id })}
      {...(fill !== undefined && { fill })}
      listening={id !== undefined}
      stroke={color ?? lineColor(kind, palette)}
      strokeWidth={isStrong ? 3 : 1.75}
      strokeScaleEnabled={false}
      dash={dashMm.map((mm) => mm * DASH_PX_PER_MM)}
      lineJoin="round"
      hitStrokeWidth={12}
      opacity={opacity}
      perfectDrawEnabled={false}
    />
  );
});

/** A straight line between two plane points. */
export function PlaneSpan({
  from,
  to,
  color,
  dash,
}: {
  readonly from: PlanePoint;
  readonly to: PlanePoint;
  readonly color: string;
  readonly dash?: readonly number[];
}) {
  return (
    <Line
      points={[from.x, -from.y, to.x, -to.y]}
      stroke={color}
      strokeWidth={2}
      strokeScaleEnabled={false}
      {...(dash && { dash: [...dash] })}
      listening={false}
    />
  );
}

const downTo50 = (mm: number) => Math.floor(mm / 50) * 50;

/** Lines of a grid in mm under the pieces: every 10 mm, stronger every 50; the fine ones only where they are apart. */
export function PlaneGrid({ boundsMm }: { readonly boundsMm: Bounds }) {
  const palette = usePalette();
  const zoom = useZoom();
  return (
    <Shape
      listening={false}
      sceneFunc={(context) => {
        const [left, bottom] = [downTo50(boundsMm.minX), downTo50(boundsMm.minY)];
        const [right, top] = [-downTo50(-boundsMm.maxX), -downTo50(-boundsMm.maxY)];
        for (const [stepMm, color] of [
          [10, palette.grid],
          [50, palette.gridStrong],
        ] as const) {
          if (stepMm * zoom < 7) continue;
          context.beginPath();
          for (let x = left; x <= right; x += stepMm) {
            context.moveTo(x, -bottom);
            context.lineTo(x, -top);
          }
          for (let y = bottom; y <= top; y += stepMm) {
            context.moveTo(left, -y);
            context.lineTo(right, -y);
          }
          context.setAttr('strokeStyle', color);
          context.setAttr('lineWidth', 1 / zoom);
          context.stroke();
        }
      }}
    />
  );
}
