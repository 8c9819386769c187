import type Konva from 'konva';
import { type KeyboardEvent, type ReactNode, useEffect, useId, useMemo, useRef } from 'react';
import { Layer, Stage } from 'react-konva';
import type { Bounds } from '../../geometry/measure.ts';
import type { ImagePoint, PlanePoint } from '../../geometry/point.ts';
import { ScaleBar } from './scale-bar.tsx';
import { TableTools } from './table-tools.tsx';
import { type GrabHandlers, type PointerHow, useGestures } from './use-gestures.ts';
import { useSize } from './use-size.ts';
import { useView } from './use-view.ts';
import { type Extent, type ScreenPoint, type Size, toCanvas } from './view.ts';
import { ZoomContext } from './zoom-context.ts';

/**
 * The table on which the photo or the piece lies: pan and zoom by wheel, drag, pinch and keys.
 *
 * `PhotoTable` has the photo's pixels as its frame (children at x = u, y = v); `PlaneTable` the plane's mm with y
 * turned DOWN (children at x = x, y = -y: see `onCanvas` in plane-shapes.tsx), and shows a scale bar. Strokes that should keep
 * their width on the screen set `strokeScaleEnabled={false}`; labels use `ScreenLabel`.
 *
 * Shapes are picked by tap: give a node an `id`, and `onTap` is told the id under the finger. Draggable nodes
 * keep their drags; everywhere else a drag moves the table.
 */
interface TableProps {
  /** Said aloud: what lies on the table. */
  readonly label: string;
  /** Changes when another thing is laid on the table: the view then fits it. */
  readonly fitKey: string;
  readonly children: ReactNode;
  /** Shapes on a canvas of their own over the others, drawn anew without them: for what is dragged. They catch no taps. */
  readonly over?: ReactNode;
  /** Drawn over the table in HTML, e.g. a choice of view. */
  readonly overlay?: ReactNode;
  /** Shown in place of the hand while the maker is to pick a point. */
  readonly isPicking?: boolean;
  /** The table is what is worked with, also by keys: it has the focus from the beginning. */
  readonly takesFocus?: boolean;
}

interface PhotoTableProps extends TableProps {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly onTap?: (at: ImagePoint, nodeId: string | undefined) => void;
}

interface PlaneTableProps extends TableProps {
  /** What must be in sight at first, mm. */
  readonly boundsMm: Bounds;
  readonly onTap?: (at: PlanePoint, nodeId: string | undefined, how: TapHow) => void;
  /** Asked when a pointer comes down; what it gives back follows the pointer in place of the table. */
  readonly grab?: (at: PlanePoint, how: TapHow) => GrabHandlers<PlanePoint> | undefined;
  /** Told where a mouse or pen passes with nothing held. */
  readonly onHover?: ((at: PlanePoint) => void) | undefined;
}

export interface TapHow extends PointerHow {
  /** Screen px per mm. */
  readonly zoom: number;
}

/** Closest zoom: a photo's pixel 12 screen px wide; a millimetre 40 screen px wide. */
const CLOSEST_PHOTO = 12;
const CLOSEST_PLANE = 40;

export function PhotoTable({ widthPx, heightPx, onTap, ...table }: PhotoTableProps) {
  // Pixel (0, 0) has its centre at the origin, so the picture begins half a pixel before it.
  const extent = useMemo(
    () => ({ left: -0.5, top: -0.5, width: widthPx, height: heightPx }),
    [widthPx, heightPx],
  );
  return (
    <Worktable
      {...table}
      extent={extent}
      closestScale={CLOSEST_PHOTO}
      hasScaleBar={false}
      {...(onTap && {
        onCanvasTap: (x: number, y: number, id: string | undefined) => onTap({ u: x, v: y }, id),
      })}
    />
  );
}

const inPlane = ({ x, y }: ScreenPoint): PlanePoint => ({ x, y: -y });

/** What holds plane points, told of canvas points. */
function onCanvasFrame(held: GrabHandlers<PlanePoint> | undefined): GrabHandlers<ScreenPoint> | undefined {
  return held && { ...held, move: (to) => held.move(inPlane(to)) };
}

export function PlaneTable({ boundsMm, onTap, grab, onHover, ...table }: PlaneTableProps) {
  const { minX, minY, maxX, maxY } = boundsMm;
  const extent = useMemo(
    () => ({ left: minX, top: -maxY, width: maxX - minX, height: maxY - minY }),
    [minX, minY, maxX, maxY],
  );
  return (
    <Worktable
      {...table}
      extent={extent}
      closestScale={CLOSEST_PLANE}
      hasScaleBar
      {...(onTap && {
        onCanvasTap: (x: number, y: number, id: string | undefined, how: TapHow) =>
          onTap({ x, y: -y }, id, how),
      })}
      {...(grab && {
        onCanvasGrab: (at: ScreenPoint, how: TapHow) => onCanvasFrame(grab(inPlane(at), how)),
      })}
      {...(onHover && { onCanvasHover: (at: ScreenPoint) => onHover(inPlane(at)) })}
    />
  );
}

interface WorktableProps extends TableProps {
  readonly extent: Extent;
  readonly closestScale: number;
  readonly hasScaleBar: boolean;
  readonly onCanvasTap?: (x: number, y: number, nodeId: string | undefined, how: TapHow) => void;
  readonly onCanvasGrab?: (at: ScreenPoint, how: TapHow) => GrabHandlers<ScreenPoint> | undefined;
  readonly onCanvasHover?: (at: ScreenPoint) => void;
}

const UNSEEN: Size = { width: 1, height: 1 };
/** Height of the controls that lie over the table's ends, px. */
const LOWER_END = { top: 0, bottom: 44 };
const BOTH_ENDS = { top: 44, bottom: 44 };
const KEY_STEP_PX = 60;
const KEY_ZOOM = 1.25;

/** Id of the nearest named node at or above `node`. */
function idOf(node: Konva.Node | null): string | undefined {
  if (!node) return undefined;
  return node.id() || idOf(node.getParent());
}

function Worktable({
  label,
  fitKey,
  children,
  over,
  overlay,
  isPicking = false,
  takesFocus = false,
  extent,
  closestScale,
  hasScaleBar,
  onCanvasTap,
  onCanvasGrab,
  onCanvasHover,
}: WorktableProps) {
  const box = useRef<HTMLDivElement>(null);
  const stage = useRef<Konva.Stage>(null);
  const size = useSize(box);
  const { view, pan, zoom, fit } = useView(
    extent,
    size ?? UNSEEN,
    overlay ? BOTH_ENDS : LOWER_END,
    closestScale,
    fitKey,
  );
  useEffect(() => {
    if (takesFocus) box.current?.focus({ preventScroll: true });
  }, [takesFocus]);
  const helpId = useId();
  // What is held follows the pointer also while the wheel zooms.
  const latestView = useRef(view);
  useEffect(() => {
    latestView.current = view;
  });

  const gestures = useGestures(box, stage, {
    pan,
    zoom,
    fit,
    tap: (at, how) => {
      if (!onCanvasTap) return;
      const canvas = toCanvas(view, at);
      const id = idOf(stage.current?.getIntersection(at) ?? null);
      onCanvasTap(canvas.x, canvas.y, id, { ...how, zoom: view.scale });
    },
    hover: onCanvasHover && ((at) => onCanvasHover(toCanvas(view, at))),
    grab:
      onCanvasGrab &&
      ((at, how) => {
        const held = onCanvasGrab(toCanvas(view, at), { ...how, zoom: view.scale });
        return held && { ...held, move: (to) => held.move(toCanvas(latestView.current, to)) };
      }),
  });

  const onKeyDown = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const step: Record<string, () => void> = {
      ArrowLeft: () => pan(KEY_STEP_PX, 0),
      ArrowRight: () => pan(-KEY_STEP_PX, 0),
      ArrowUp: () => pan(0, KEY_STEP_PX),
      ArrowDown: () => pan(0, -KEY_STEP_PX),
      '+': () => zoom(KEY_ZOOM),
      '=': () => zoom(KEY_ZOOM),
      '-': () => zoom(1 / KEY_ZOOM),
      '0': fit,
    };
    const act = step[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  };

  return (
    <div className="worktable">
      <div
        ref={box}
        className={`worktable-box${isPicking ? ' worktable-picking' : ''}`}
        // Arrow keys belong to the table while it has the focus.
        role="application"
        aria-label={label}
        aria-describedby={helpId}
        tabIndex={0}
        onKeyDown={onKeyDown}
        {...gestures}
      >
        {size && (
          <Stage
            ref={stage}
            width={size.width}
            height={size.height}
            x={view.x}
            y={view.y}
            scaleX={view.scale}
            scaleY={view.scale}
          >
            <ZoomContext value={view.scale}>
              <Layer>{children}</Layer>
              {over && <Layer listening={false}>{over}</Layer>}
            </ZoomContext>
          </Stage>
        )}
      </div>
      <p id={helpId} className="only-read-aloud">
        Arrow keys move the table, plus and minus zoom, 0 shows the whole.
      </p>
      {overlay && <div className="worktable-overlay">{overlay}</div>}
      <div className="worktable-foot">
        {hasScaleBar && <ScaleBar pxPerMm={view.scale} />}
        <TableTools onZoom={(closer) => zoom(closer ? 1.5 : 1 / 1.5)} onFit={fit} />
      </div>
    </div>
  );
}
