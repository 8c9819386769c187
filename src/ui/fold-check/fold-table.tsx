import { useMemo, useRef } from 'react';
import { Circle, Line } from 'react-konva';
import { setAxis } from '../../build/commands/pieces.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import type { PlanePoint } from '../../geometry/point.ts';
import type { FoldLine } from '../../mirror/axis.ts';
import type { FoldCheck } from '../../mirror/check-fold.ts';
import type { AxisCandidate } from '../../mirror/find-axes.ts';
import { bench } from '../bench.ts';
import { Choice } from '../controls/choice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { usePalette } from '../look/palette.ts';
import { OffsetMark } from '../worktable/offset-mark.tsx';
import { PlaneHandle } from '../worktable/plane-handle.tsx';
import { onCanvas, PlaneGrid, PlaneLine } from '../worktable/plane-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { grown } from '../worktable/room.ts';
import { PlaneTable } from '../worktable/worktable.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import { axisEnds, axisThrough } from './axis-by-hand.ts';
import { FoldOver } from './fold-over.tsx';
import { type EdgeOffset, largestArrow, type OffsetArrow, sampleNear, stretchArrows } from './offsets.ts';
import { useFoldMotion } from './use-fold-motion.ts';

export type FoldView = 'open' | 'folded';

interface FoldTableProps {
  readonly pieceId: string;
  readonly pieceName: string;
  readonly lines: readonly PieceLine[];
  readonly axis: FoldLine;
  readonly candidates: readonly AxisCandidate[];
  readonly check: FoldCheck | undefined;
  readonly offsets: readonly EdgeOffset[];
  readonly pointed: EdgeOffset | undefined;
  readonly onPoint: (index: number | undefined) => void;
  readonly view: FoldView;
  readonly onView: (view: FoldView) => void;
  /** The lines as mending would leave them. */
  readonly mended: readonly PieceLine[] | undefined;
}

/** How near to an edge a tap counts as pointing at it, mm. */
const TAP_REACH_MM = 8;
/** Room round the piece in which the handles stand, as a share of its size. */
const ROOM = 0.1;

export function FoldTable(props: FoldTableProps) {
  const { pieceId, pieceName, lines, axis, candidates, check, offsets, pointed, onPoint, mended } = props;
  const palette = usePalette();
  const folded = useFoldMotion(props.view === 'folded' && !mended);
  const points = useMemo(() => lines.flatMap(({ path }) => flattenPath(path, 0.2)), [lines]);
  const bounds = useMemo(() => grown(boundsOf(points), ROOM), [points]);
  const middle = { x: (bounds.minX + bounds.maxX) / 2, y: (bounds.minY + bounds.maxY) / 2 };
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
      <FoldOver lines={lines} axis={axis} folded={folded} />
      {mended?.map(({ id, kind, path }) => (
        <PlaneLine key={id} kind={kind} path={path} color={palette.accent} isStrong />
      ))}
      {candidates.slice(1).map((candidate, index) => (
        <OtherFoldLine key={index} axis={candidate.axis} points={points} number={index + 2} />
      ))}
      <AxisLine pieceId={pieceId} axis={axis} points={points} />
      {isStill &&
        !mended &&
        arrows.map((arrow, index) => (
          <OffsetMark
            key={`${arrow.from.x} ${arrow.from.y}`}
            {...arrow}
            words={`${mmWords(arrow.sizeMm)} mm`}
            awayFrom={middle}
            isStrong={index === 0}
          />
        ))}
      {pointed && isStill && !mended && <PointedPlace offset={pointed} />}
    </PlaneTable>
  );
}

function arrowsOf(
  check: FoldCheck | undefined,
  offsets: readonly EdgeOffset[],
  isFolded: boolean,
): OffsetArrow[] {
  if (!check) return [];
  const arrows = stretchArrows(check.axis, check.stretches, isFolded);
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
