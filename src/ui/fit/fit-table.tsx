import { PieceLines } from '../worktable/piece-lines.tsx';
import { useMemo, useState } from 'react';
import { setWrap } from '../../build/commands/pieces.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { boundsOf, flattenPath } from '../../geometry/measure.ts';
import { nearestOnPath } from '../../geometry/nearest.ts';
import type { Path } from '../../geometry/path.ts';
import { midpoint, type PlanePoint } from '../../geometry/point.ts';
import { type WrapLine, wrapPath } from '../../fit/wrap-line.ts';
import { bench, useBench } from '../bench.ts';
import { Choice } from '../controls/choice.tsx';
import { mmWords } from '../controls/number-words.ts';
import { Ghost, Sheet } from '../worktable/piece-shapes.tsx';
import { PlaneHandle } from '../worktable/plane-handle.tsx';
import { onCanvas, PlaneGrid, PlaneLine } from '../worktable/plane-shapes.tsx';
import { grown, withRoomAbove } from '../worktable/room.ts';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { PlaneTable } from '../worktable/worktable.tsx';
import { useZoom } from '../worktable/zoom-context.ts';
import type { WrapInForce } from '../../build/wrap-in-force.ts';

export type FitView = 'now' | 'fitted' | 'above';

/** A piece with the line on it that goes round the head. */
interface LaidPiece {
  readonly lines: readonly PieceLine[];
  readonly wrapLine: WrapLine;
  readonly wrapMm: number;
}

interface FitTableProps {
  readonly pieceId: string;
  readonly pieceName: string;
  readonly outline: Path;
  readonly now: LaidPiece;
  readonly fitted: LaidPiece | undefined;
  readonly wrap: WrapInForce;
  readonly view: FitView;
  readonly onView: (view: FitView) => void;
}

const ROOM = 0.08;

export function FitTable({ pieceId, pieceName, outline, now, fitted, wrap, view, onView }: FitTableProps) {
  const points = useMemo(() => now.lines.flatMap(({ path }) => flattenPath(path, 0.2)), [now.lines]);
  // The fitted piece stays in sight too, whichever is looked at.
  const reach = useMemo(
    () => (fitted ? fitted.lines.flatMap(({ path }) => flattenPath(path, 0.5)) : []),
    [fitted],
  );
  const wanted = useMemo(() => withRoomAbove(grown(boundsOf([...points, ...reach]), ROOM)), [points, reach]);
  const bounds = useHeldStill(wanted);
  const isFitted = view === 'fitted' && fitted !== undefined;
  const shown = isFitted ? fitted : now;
  return (
    <PlaneTable
      label={`${pieceName} ${isFitted ? 'as fitted' : 'as it is'}, wrap line ${mmWords(shown.wrapMm)} mm`}
      fitKey={`fit ${pieceId}`}
      boundsMm={bounds}
      overlay={
        <ViewChoice view={isFitted ? 'fitted' : 'now'} hasFitted={fitted !== undefined} onView={onView} />
      }
    >
      <PlaneGrid boundsMm={grown(bounds, 1)} />
      <Sheet lines={shown.lines} />
      <PieceLines lines={shown.lines} />
      {!isFitted && fitted && <Ghost lines={fitted.lines} isAhead />}
      {isFitted && <Ghost lines={now.lines} />}
      <WrapOnPiece outline={isFitted ? undefined : outline} laid={shown} />
      {!isFitted && <WrapHandles pieceId={pieceId} outline={outline} wrap={wrap} />}
    </PlaneTable>
  );
}

interface ViewChoiceProps {
  readonly view: FitView;
  readonly hasFitted: boolean;
  readonly onView: (view: FitView) => void;
}

/** The piece as it is or as fitted, or the head from above. */
export function ViewChoice({ view, hasFitted, onView }: ViewChoiceProps) {
  return (
    <Choice
      label="What is shown"
      options={[
        { id: 'now', words: 'As it is' },
        ...(hasFitted ? [{ id: 'fitted', words: 'Fitted' } as const] : []),
        { id: 'above', words: 'From above' },
      ]}
      value={view}
      onChange={onView}
    />
  );
}

/** The value as it was when a drag began: the table must not move under the hand. */
function useHeldStill<T>(value: T): T {
  const isDragging = useBench(({ gestureLabel }) => gestureLabel !== undefined);
  const [held, setHeld] = useState(value);
  if (!isDragging && held !== value) setHeld(value);
  return held;
}

/** The wrap line with its length. */
function WrapOnPiece({ outline, laid }: { readonly outline: Path | undefined; readonly laid: LaidPiece }) {
  const { lines, wrapLine, wrapMm } = laid;
  const path = useMemo(() => {
    const edge = outline ?? lines.find(({ kind, path }) => kind === 'cut' && path.closed)?.path;
    return edge && wrapPath(edge, wrapLine);
  }, [outline, lines, wrapLine]);
  if (!path) return null;
  const middle = flattenPath(path, 0.5);
  const at =
    wrapLine.along === 'straight'
      ? midpoint(wrapLine.from, wrapLine.to)
      : middle[Math.floor(middle.length / 2)]!;
  return (
    <>
      <PlaneLine path={path} kind="wrap" isStrong />
      <ScreenLabel {...onCanvas(at)} text={`wrap line ${mmWords(wrapMm)} mm`} />
    </>
  );
}

/** An end dropped this near to the edge lies on it, px. */
const SNAP_PX = 14;

function WrapHandles({
  pieceId,
  outline,
  wrap,
}: {
  readonly pieceId: string;
  readonly outline: Path;
  readonly wrap: WrapInForce;
}) {
  const zoom = useZoom();
  const settle = (point: PlanePoint): PlanePoint => {
    const nearest = nearestOnPath(outline, point);
    return wrap.line.along === 'edge' || nearest.distanceMm * zoom < SNAP_PX ? nearest.point : point;
  };
  return (
    <>
      {(['from', 'to'] as const).map((end) => (
        <PlaneHandle
          key={end}
          at={wrap.line[end]}
          onStart={() => bench.beginGesture('Move wrap line')}
          onMove={(to) => {
            const place = settle(to);
            bench.updateGesture((build) =>
              setWrap(build, { pieceId, wrap: { ...wrap, line: { ...wrap.line, [end]: place } } }),
            );
            return place;
          }}
          onEnd={() => bench.commitGesture()}
          onCancel={() => bench.cancelGesture()}
        />
      ))}
    </>
  );
}
