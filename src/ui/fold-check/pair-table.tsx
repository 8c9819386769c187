import { PieceLines } from '../worktable/piece-lines.tsx';
import { useMemo } from 'react';
import type { Piece } from '../../build/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { movePath, mover } from '../../geometry/motion.ts';
import type { PairCheck } from '../../mirror/check-pair.ts';
import { CoveredOnce } from '../worktable/covered-once.tsx';
import { Ghost, Sheet } from '../worktable/piece-shapes.tsx';
import { onCanvas, PlaneGrid } from '../worktable/plane-shapes.tsx';
import { grown } from '../worktable/room.ts';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { PlaneTable } from '../worktable/worktable.tsx';
import { LaidMarks } from './laid-marks.tsx';
import { type EdgeOffset, laidArrows, largestArrow, sampleNear } from './offsets.ts';

interface PairTableProps {
  readonly piece: Piece;
  readonly otherName: string;
  readonly left: readonly PieceLine[];
  readonly right: readonly PieceLine[];
  readonly check: PairCheck | undefined;
  readonly isStale: boolean;
  readonly offsets: readonly EdgeOffset[];
  readonly pointed: EdgeOffset | undefined;
  readonly onPoint: (index: number | undefined) => void;
}

const TAP_REACH_MM = 8;
const ROOM = 0.1;

/** One piece under a solid line, the other one turned over on it under a dashed line; what only one covers is hatched. */
export function PairTable(props: PairTableProps) {
  const { piece, otherName, left, right, check, isStale, offsets, pointed, onPoint } = props;
  const bounds = useMemo(
    () => grown(boundsOf(left.flatMap(({ path }) => flattenPath(path, 0.2))), ROOM),
    [left],
  );
  const middle = { x: (bounds.minX + bounds.maxX) / 2, y: (bounds.minY + bounds.maxY) / 2 };
  const laid = useMemo(
    () => check && right.map((line) => ({ ...line, path: movePath(line.path, check.motion) })),
    [check, right],
  );
  const arrows = useMemo(() => {
    if (!check) return [];
    const over = laidArrows(check.stretches, mover(check.motion));
    const largest = largestArrow(offsets);
    return over.length === 0 && largest ? [largest] : over;
  }, [check, offsets]);
  return (
    <PlaneTable
      label={laid ? `${otherName}, turned over, on ${piece.name}` : piece.name}
      fitKey={`pair ${piece.id}`}
      boundsMm={bounds}
      onTap={(at) => onPoint(sampleNear(offsets, at, TAP_REACH_MM))}
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      <Sheet lines={left} />
      {laid && <CoveredOnce left={left} laid={laid} />}
      <PieceLines lines={left} />
      {laid && <Ghost lines={laid} isAhead />}
      {!laid && <ScreenLabel {...onCanvas(middle)} text={piece.name} side="over" />}
      {!isStale && <LaidMarks arrows={arrows} pointed={pointed} middle={middle} />}
    </PlaneTable>
  );
}
