import { useMemo } from 'react';
import { Shape } from 'react-konva';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { usePalette } from '../look/palette.ts';
import { hatch } from './hatch.ts';
import { canvasData } from './plane-shapes.tsx';
import { useZoom } from './zoom-context.ts';

/** Hatches what only one of the two pieces covers. */
export function CoveredOnce({
  left,
  laid,
}: {
  readonly left: readonly PieceLine[];
  readonly laid: readonly PieceLine[];
}) {
  const palette = usePalette();
  const zoom = useZoom();
  const both = useMemo(() => {
    const edges = [...left, ...laid].filter(({ kind }) => kind === 'cut' || kind === 'cutout');
    return new Path2D(edges.map(({ path }) => canvasData(path)).join(''));
  }, [left, laid]);
  return (
    <Shape
      listening={false}
      sceneFunc={({ _context: ctx }) => {
        ctx.save();
        ctx.fillStyle = hatch(ctx, palette.look, zoom);
        ctx.fill(both, 'evenodd');
        ctx.restore();
      }}
    />
  );
}
