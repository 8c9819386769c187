import { PieceLines } from '../worktable/piece-lines.tsx';
import { useMemo } from 'react';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { movePath } from '../../geometry/motion.ts';
import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import type { SeamSlip } from '../../refit/seam-slips.ts';
import { mmWords } from '../controls/number-words.ts';
import { LaidMarks } from '../fold-check/laid-marks.tsx';
import { type EdgeOffset, sampleNear } from '../fold-check/offsets.ts';
import { usePalette } from '../look/palette.ts';
import { CoveredOnce } from '../worktable/covered-once.tsx';
import { OffsetMark } from '../worktable/offset-mark.tsx';
import { Ghost, Sheet } from '../worktable/piece-shapes.tsx';
import { onCanvas, PlaneGrid, PlaneSpan } from '../worktable/plane-shapes.tsx';
import { grown } from '../worktable/room.ts';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { PlaneTable } from '../worktable/worktable.tsx';

interface RefitTableProps {
  readonly pieceId: string;
  readonly label: string;
  readonly lines: readonly PieceLine[];
  /** What is laid on them, in its own frame. */
  readonly laidLines: readonly PieceLine[];
  /** Undefined while it is being laid. */
  readonly comparison: RevisionComparison | undefined;
  readonly slips: readonly SeamSlip[];
  readonly offsets: readonly EdgeOffset[];
  readonly pointed: EdgeOffset | undefined;
  readonly onPoint: (index: number | undefined) => void;
}

const TAP_REACH_MM = 8;
const ROOM = 0.17;
const MOST_MARKS = 8;

/** The old revision under a solid line, the new edge laid on it under a dashed one; what only one covers is hatched. */
export function RefitTable(props: RefitTableProps) {
  const { lines, laidLines, comparison, slips, offsets, pointed, onPoint } = props;
  const bounds = useMemo(
    () => grown(boundsOf(lines.flatMap(({ path }) => flattenPath(path, 0.2))), ROOM),
    [lines],
  );
  const middle = { x: (bounds.minX + bounds.maxX) / 2, y: (bounds.minY + bounds.maxY) / 2 };
  const laid = useMemo(
    () =>
      comparison &&
      laidLines
        .filter(({ kind, path }) => path.closed && (kind === 'cut' || kind === 'cutout'))
        .map((line) => ({ ...line, path: movePath(line.path, comparison.motion) })),
    [comparison, laidLines],
  );
  return (
    <PlaneTable
      label={props.label}
      fitKey={`refit ${props.pieceId}`}
      boundsMm={bounds}
      onTap={(at) => onPoint(sampleNear(offsets, at, TAP_REACH_MM))}
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      <Sheet lines={lines} />
      {laid && <CoveredOnce left={lines} laid={laid} />}
      <PieceLines lines={lines} />
      {laid && <Ghost lines={laid} isAhead />}
      {slips.map((slip) => (
        <SeamMark key={slip.seam.tiles.join(' ')} slip={slip} />
      ))}
      {comparison?.stretches.slice(0, MOST_MARKS).map(({ id, at, peakMm, change }, index) => (
        <OffsetMark
          key={id}
          from={at}
          to={at}
          words={`${change === 'trimmed' ? '−' : '+'}${mmWords(peakMm)} mm`}
          awayFrom={middle}
          isStrong={index === 0}
        />
      ))}
      {comparison && <LaidMarks arrows={[]} pointed={pointed} middle={middle} />}
    </PlaneTable>
  );
}

/** A seam between two pages with its name. */
function SeamMark({ slip: { seam, at } }: { readonly slip: SeamSlip }) {
  const palette = usePalette();
  return (
    <>
      <PlaneSpan from={seam.from} to={seam.to} color={palette.inkQuiet} dash={[2, 5]} />
      <ScreenLabel {...onCanvas(at)} text={seam.tiles.join(' | ')} side="over" color={palette.inkQuiet} />
    </>
  );
}
