import { PieceLines } from '../worktable/piece-lines.tsx';
import { useMemo, useRef } from 'react';
import { Line } from 'react-konva';
import { setAxis } from '../../build/commands/pieces.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { mover, offsetFromLineMm, reflectionAcross } from '../../geometry/motion.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { FoldLine } from '../../mirror/axis.ts';
import type { FoldCheck } from '../../mirror/check-fold.ts';
import type { AxisCandidate } from '../../mirror/find-axes.ts';
import type { Mended } from '../../mirror/mend.ts';
import { bench } from '../bench.ts';
import { Choice } from '../controls/choice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { usePalette } from '../look/palette.ts';
import { OffsetMark } from '../worktable/offset-mark.tsx';
import { Ghost, Sheet } from '../worktable/piece-shapes.tsx';
import { PlaneHandle } from '../worktable/plane-handle.tsx';
import { onCanvas, PlaneGrid } from '../worktable/plane-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { grown, withRoomAbove } from '../worktable/room.ts';
import { PlaneTable } from '../worktable/worktable.tsx';
import { axisEnds, axisThrough } from './axis-by-hand.ts';
import { FoldOver } from './fold-over.tsx';
import { LaidMarks } from './laid-marks.tsx';
import {
  type EdgeOffset,
  laidArrows,
  largestArrow,
  type OffsetArrow,
  openArrows,
  sampleNear,
} from './offsets.ts';
import { useFoldMotion } from './use-fold-motion.ts';

export type FoldView = 'open' | 'folded';

interface FoldTableProps {
  readonly pieceId: string;
  readonly pieceName: string;
  readonly lines: readonly PieceLine[];
  readonly axis: FoldLine;
  readonly isKept: boolean;
  readonly candidates: readonly AxisCandidate[];
  /** Undefined while the fold is being measured anew. */
  readonly check: FoldCheck | undefined;
  readonly offsets: readonly EdgeOffset[];
  readonly pointed: EdgeOffset | undefined;
  readonly onPoint: (index: number | undefined) => void;
  readonly view: FoldView;
  readonly onView: (view: FoldView) => void;
  /** What mending would make of the piece. */
  readonly mended: Mended | undefined;
}

/** How near to an edge a tap counts as pointing at it, mm. */
const TAP_REACH_MM = 8;
/** Room round the piece in which the handles stand, as a share of its size. */
const ROOM = 0.1;

export function FoldTable(props: FoldTableProps) {
  const { pieceId, pieceName, lines, axis, candidates, check, offsets, pointed, onPoint, mended } = props;
  const folded = useFoldMotion(props.view === 'folded' && !mended);
  const points = useMemo(() => lines.flatMap(({ path }) => flattenPath(path, 0.2)), [lines]);
  const bounds = useMemo(() => withRoomAbove(grown(boundsOf(points), ROOM)), [points]);
  const middle = { x: (bounds.minX + bounds.maxX) / 2, y: (bounds.minY + bounds.maxY) / 2 };
  // Once a line is kept, the ones that were not chosen only stand in the way.
  const others = props.isKept ? [] : candidates.slice(1);
  const isFolded = folded >= 1;
  const isStill = isFolded || folded <= 0;
  const arrows = useMemo(() => arrowsOf(check, offsets, isFolded), [check, offsets, isFolded]);
  return (
    <PlaneTable
      label={`${pieceName}, ${isFolded ? 'right half folded over the left' : 'lying open'}`}
      fitKey={`fold ${pieceId}`}
      boundsMm={bounds}
      onTap={(at) => onPoint(sampleNear(offsets, at, TAP_REACH_MM))}
      overlay={
        <Choice
          label="How the piece lies"
          options={[
            { id: 'open', words: 'Open' },
            { id: 'folded', words: 'Folded' },
          ]}
          value={props.view}
          onChange={props.onView}
        />
      }
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      {mended ? (
        <MendedPiece lines={lines} mended={mended} middle={middle} />
      ) : (
        <FoldOver lines={lines} axis={axis} folded={folded} />
      )}
      {others.map((candidate, index) => (
        <OtherFoldLine key={index} axis={candidate.axis} points={points} number={index + 2} />
      ))}
      <AxisLine pieceId={pieceId} axis={axis} points={points} />
      {isStill && !mended && check && <ExcusedNames check={check} isFolded={isFolded} />}
      {isStill && !mended && check && <LaidMarks arrows={arrows} pointed={pointed} middle={middle} />}
    </PlaneTable>
  );
}

interface MendedPieceProps {
  readonly lines: readonly PieceLine[];
  readonly mended: Mended;
  readonly middle: PlanePoint;
}

/** The piece as it would become, over the piece as it is, with the place that moves most. */
function MendedPiece({ lines, mended, middle }: MendedPieceProps) {
  const { maxAt, maxMm } = mended;
  return (
    <>
      <Sheet lines={mended.lines} />
      <PieceLines lines={mended.lines} />
      <Ghost lines={lines} />
      <OffsetMark from={maxAt} to={maxAt} words={`${mmWords(maxMm)} mm`} awayFrom={middle} isStrong />
    </>
  );
}

/** Names of the stretches that are uneven on purpose, where they lie. */
function ExcusedNames({ check, isFolded }: { readonly check: FoldCheck; readonly isFolded: boolean }) {
  const palette = usePalette();
  const reflect = mover(reflectionAcross(check.axis));
  return check.excused.map(({ stretch, at }) => {
    const isHidden = isFolded && offsetFromLineMm(check.axis, at) < 0;
    return (
      <ScreenLabel
        key={stretch.id}
        {...onCanvas(isHidden ? reflect(at) : at)}
        text={`${stretch.name}: on purpose`}
        side="above"
        color={palette.inkQuiet}
      />
    );
  });
}

function arrowsOf(
  check: FoldCheck | undefined,
  offsets: readonly EdgeOffset[],
  isFolded: boolean,
): OffsetArrow[] {
  if (!check) return [];
  const reflect = mover(reflectionAcross(check.axis));
  const arrows = isFolded ? laidArrows(check.stretches, reflect) : openArrows(check.stretches, reflect);
  const largest = largestArrow(offsets);
  return arrows.length === 0 && largest ? [largest] : arrows;
}

interface AxisLineProps {
  readonly pieceId: string;
  readonly axis: FoldLine;
  readonly points: readonly PlanePoint[];
}

/** The fold line in force with a handle at each end. */
function AxisLine({ pieceId, axis, points }: AxisLineProps) {
  const palette = usePalette();
  const ends = axisEnds(axis, points);
  /** The end that stays while the other is dragged. */
  const stays = useRef<PlanePoint>(ends[0]);
  return (
    <>
      <Line
        points={ends.flatMap((end) => [end.x, -end.y])}
        stroke={palette.accent}
        strokeWidth={2}
        strokeScaleEnabled={false}
        dash={[16, 5, 3, 5]}
        listening={false}
      />
      {([0, 1] as const).map((which) => (
        <PlaneHandle
          key={which}
          at={ends[which]}
          onStart={() => {
            stays.current = ends[1 - which]!;
            bench.beginGesture('Move fold line');
          }}
          onMove={(to) => {
            const moved = axisThrough(stays.current, to);
            if (!moved) return ends[which];
            bench.updateGesture((build) => setAxis(build, { pieceId, axis: moved }));
            const [low, high] = axisEnds(moved, points);
            // The fold line has no direction of its own: its ends may have changed places.
            return nearer(to, low, high);
          }}
          onEnd={() => bench.commitGesture()}
          onCancel={() => bench.cancelGesture()}
        />
      ))}
    </>
  );
}

function nearer(to: PlanePoint, a: PlanePoint, b: PlanePoint): PlanePoint {
  return Math.hypot(a.x - to.x, a.y - to.y) <= Math.hypot(b.x - to.x, b.y - to.y) ? a : b;
}

/** Another fold line that the piece suggests. */
function OtherFoldLine({
  axis,
  points,
  number,
}: {
  readonly axis: FoldLine;
  readonly points: readonly PlanePoint[];
  readonly number: number;
}) {
  const palette = usePalette();
  const ends = axisEnds(axis, points);
  return (
    <>
      <Line
        points={ends.flatMap((end) => [end.x, -end.y])}
        stroke={palette.inkQuiet}
        strokeWidth={1.25}
        strokeScaleEnabled={false}
        dash={[3, 6]}
        listening={false}
      />
      <ScreenLabel {...onCanvas(ends[1])} text={`line ${number}`} side="below" color={palette.inkQuiet} />
    </>
  );
}
