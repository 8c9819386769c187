import { useMemo } from 'react';
import { Shape } from 'react-konva';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { StraightLine } from '../../geometry/motion.ts';
import { usePalette } from '../look/palette.ts';
import { hatch } from '../worktable/hatch.ts';
import { canvasData } from '../worktable/plane-shapes.tsx';
import { useZoom } from '../worktable/zoom-context.ts';

/** Longer than any piece, mm: how far the clip beside the axis reaches. */
const FAR_MM = 1e4;

interface FoldOverProps {
  readonly lines: readonly PieceLine[];
  readonly axis: StraightLine;
  /** 0: lying open. 1: the right half folded over onto the left one. */
  readonly folded: number;
}

/** The canvas motion (y down) that squeezes across the axis by `factor`: 1 leaves all in place, -1 is the mirror image. */
function squeeze({ point, angleRad }: StraightLine, factor: number): DOMMatrix {
  const degrees = (-angleRad * 180) / Math.PI;
  return new DOMMatrix()
    .translate(point.x, -point.y)
    .rotate(degrees)
    .scale(1, factor)
    .rotate(-degrees)
    .translate(-point.x, point.y);
}

function moved(path: Path2D, motion: DOMMatrix): Path2D {
  const result = new Path2D();
  result.addPath(path, motion);
  return result;
}

/** Everything on one side of the axis, as a clip. */
function beside({ point, angleRad }: StraightLine, side: 'left' | 'right'): Path2D {
  const rect = new Path2D();
  rect.rect(-FAR_MM, side === 'left' ? -FAR_MM : 0, 2 * FAR_MM, FAR_MM);
  return moved(rect, new DOMMatrix().translate(point.x, -point.y).rotate((-angleRad * 180) / Math.PI));
}

/**
 * A piece folded along its axis like a sheet of paper: the left half lies still under a solid line, the right one
 * comes over it under a dashed line, and what only one of the two covers is hatched.
 */
export function FoldOver({ lines, axis, folded }: FoldOverProps) {
  const palette = usePalette();
  const zoom = useZoom();
  const outline = useMemo(() => {
    const whole = new Path2D();
    for (const { kind, path } of lines) {
      if (kind === 'cut' || kind === 'cutout') whole.addPath(new Path2D(canvasData(path)));
    }
    return whole;
  }, [lines]);
  const { point, angleRad } = axis;
  const parts = useMemo(() => {
    const line = { point, angleRad };
    const mirrored = moved(outline, squeeze(line, -1));
    const both = new Path2D(outline);
    both.addPath(mirrored);
    return { left: beside(line, 'left'), right: beside(line, 'right'), both };
  }, [outline, point, angleRad]);

  return (
    <Shape
      listening={false}
      sceneFunc={({ _context: ctx }) => {
        const line = { point, angleRad };
        const factor = Math.cos(Math.PI * folded);
        const within = (clip: Path2D, draw: () => void) => {
          ctx.save();
          ctx.clip(clip);
          draw();
          ctx.restore();
        };
        const stroke = (path: Path2D, color: string, widthPx: number, dashPx: readonly number[] = []) => {
          ctx.lineJoin = 'round';
          ctx.strokeStyle = color;
          ctx.lineWidth = widthPx / zoom;
          ctx.setLineDash(dashPx.map((px) => px / zoom));
          ctx.stroke(path);
        };
        ctx.save();
        within(parts.left, () => {
          ctx.fillStyle = palette.paper;
          ctx.fill(outline, 'evenodd');
        });
        // Where the folding half came from.
        within(parts.right, () => stroke(outline, palette.inkQuiet, 1.25, [1, 4]));
        const over = moved(outline, squeeze(line, factor));
        within(factor > 0 ? parts.right : parts.left, () => {
          ctx.fillStyle = palette.paper;
          ctx.globalAlpha = 0.35 + 0.65 * Math.max(0, factor);
          ctx.fill(over, 'evenodd');
          ctx.globalAlpha = 1;
        });
        if (folded >= 1) {
          within(parts.left, () => {
            ctx.fillStyle = hatch(ctx, palette.look, zoom);
            ctx.fill(parts.both, 'evenodd');
          });
        }
        within(parts.left, () => stroke(outline, palette.ink, 2));
        within(factor > 0 ? parts.right : parts.left, () =>
          stroke(over, folded > 0 ? palette.accent : palette.ink, 2, folded > 0 ? [9, 5] : []),
        );
        ctx.restore();
      }}
    />
  );
}
