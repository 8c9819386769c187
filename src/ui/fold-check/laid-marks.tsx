import { Circle } from 'react-konva';
import type { PlanePoint } from '../../geometry/point.ts';
import { mmWords } from '../controls/number-words.ts';
import { usePalette } from '../look/palette.ts';
import { OffsetMark } from '../worktable/offset-mark.tsx';
import { onCanvas } from '../worktable/plane-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import type { EdgeOffset, OffsetArrow } from './offsets.ts';

/** A difference that would read 0.0 mm gets no arrow. */
const SEEN_MM = 0.05;

interface LaidMarksProps {
  /** Largest first. */
  readonly arrows: readonly OffsetArrow[];
  readonly pointed: EdgeOffset | undefined;
  /** The middle of the piece. */
  readonly middle: PlanePoint;
}

/** Arrows with figures where two edges lie apart, and the place that is pointed at. */
export function LaidMarks({ arrows, pointed, middle }: LaidMarksProps) {
  const seen = arrows.filter(({ sizeMm }) => sizeMm >= SEEN_MM);
  return (
    <>
      {seen.map((arrow, index) => (
        <OffsetMark
          key={`${arrow.from.x} ${arrow.from.y}`}
          from={arrow.from}
          to={arrow.to}
          words={`${mmWords(arrow.sizeMm)} mm`}
          awayFrom={middle}
          isStrong={index === 0}
        />
      ))}
      {pointed && <PointedPlace offset={pointed} />}
    </>
  );
}

/** The place pointed at in the strip or on the table. */
function PointedPlace({ offset }: { readonly offset: EdgeOffset }) {
  const palette = usePalette();
  const zoom = useZoom();
  const at = onCanvas(offset.from);
  return (
    <>
      <Circle {...at} radius={9 / zoom} stroke={palette.accent} strokeWidth={3 / zoom} listening={false} />
      <ScreenLabel x={at.x} y={at.y - 12 / zoom} text={`${mmWords(Math.abs(offset.offsetMm))} mm`} />
    </>
  );
}
