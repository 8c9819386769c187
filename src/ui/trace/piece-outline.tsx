import { useMemo } from 'react';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { canvasData } from '../worktable/plane-shapes.tsx';
import { piecesBounds } from './trace-flat.tsx';

interface PieceOutlineProps {
  readonly piece: Piece;
  /** The piece's colour in the photo, where it is known. */
  readonly color?: string | undefined;
}

/** A piece in small, for lists: its own outline, filled with its colour. */
export function PieceOutline({ piece, color }: PieceOutlineProps) {
  const { viewBox, data } = useMemo(() => {
    const { minX, minY, maxX, maxY } = piecesBounds([piece]);
    const room = 0.06 * Math.max(maxX - minX, maxY - minY);
    const box = [minX - room, -maxY - room, maxX - minX + 2 * room, maxY - minY + 2 * room];
    return {
      viewBox: box.join(' '),
      data: lastRevision(piece)
        .lines.map(({ path }) => canvasData(path))
        .join(''),
    };
  }, [piece]);
  return (
    <svg className="piece-outline" viewBox={viewBox} aria-hidden="true">
      <path
        d={data}
        fill={color ?? 'none'}
        fillRule="evenodd"
        stroke="currentColor"
        vectorEffect="non-scaling-stroke"
        strokeWidth="1.5"
      />
    </svg>
  );
}
