import { useMemo } from 'react';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { canvasData } from '../worktable/plane-shapes.tsx';
import { grown } from '../worktable/room.ts';

/** A small picture of a piece's lines. */
export function PieceThumb({ lines }: { readonly lines: readonly PieceLine[] }) {
  const { viewBox, data } = useMemo(() => {
    const { minX, minY, maxX, maxY } = grown(
      boundsOf(lines.flatMap(({ path }) => flattenPath(path, 0.5))),
      0.04,
    );
    return {
      viewBox: `${minX} ${-maxY} ${maxX - minX} ${maxY - minY}`,
      data: lines.map(({ path }) => canvasData(path)).join(''),
    };
  }, [lines]);
  return (
    <svg className="piece-thumb" viewBox={viewBox} aria-hidden="true">
      <path d={data} fillRule="evenodd" vectorEffect="non-scaling-stroke" />
    </svg>
  );
}
