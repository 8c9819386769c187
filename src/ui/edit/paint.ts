/** Painting foam in and out with a round brush: by a drag, or by keys that move the brush and put it down. */
import { paintFoam } from '../../geometry/edit/paint.ts';
import type { Paint } from '../../geometry/edit/paint-strands.ts';
import type { JointPick } from '../../geometry/edit/edited.ts';
import { jointPoint } from '../../geometry/edit/nodes.ts';
import { strokeOf } from '../../geometry/edit/stroke.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { polylinePath } from '../../geometry/path.ts';
import { distanceMm, type PlanePoint } from '../../geometry/point.ts';
import { cross, dot, minus, plus } from '../../geometry/vector.ts';
import type { GrabHandlers } from '../worktable/use-gestures.ts';
import type { TapHow } from '../worktable/worktable.tsx';
import type { Sitting, Tool } from './sitting.ts';

const newId = () => crypto.randomUUID();

/** What the tool paints; nothing where it is no brush. */
export function paintOf(tool: Tool): Paint | undefined {
  if (tool === 'paint-in') return 'in';
  return tool === 'paint-out' ? 'out' : undefined;
}

/** A pointer's track is taken up every so many px, and smoothed within so many: a hand is no steadier. */
const TRACK_PX = 1;
const SMOOTH_PX = 0.75;

/** A pointer that comes down with the brush in hand paints until it is let go. */
export function paintDrag(sitting: Sitting, from: PlanePoint, { zoom }: TapHow): GrabHandlers<PlanePoint> {
  sitting.store.setState({ points: [from], brush: from, news: undefined });
  return {
    move(to) {
      const { points } = sitting.store.getState();
      if (distanceMm(points.at(-1) ?? from, to) * zoom < TRACK_PX) return;
      sitting.store.setState({ points: [...points, to], brush: to });
    },
    end: () => finishPainting(sitting, SMOOTH_PX / zoom),
    cancel: () => sitting.store.setState({ points: [] }),
  };
}

/** Where the brush stands: where it was left, or else on the picked joint or the first one of the outline. */
export function brushPlace(
  brush: PlanePoint | undefined,
  lines: readonly PieceLine[],
  picks: readonly JointPick[],
): PlanePoint | undefined {
  if (brush) return brush;
  const pick = picks.at(-1);
  const line = pick ? lines.find(({ id }) => id === pick.lineId) : lines.find(({ kind }) => kind === 'cut');
  return line && jointPoint(line.path, pick?.joint ?? 0);
}

const placeNow = (sitting: Sitting) =>
  brushPlace(sitting.store.getState().brush, sitting.lines(), sitting.picks());

/** Moves the brush to a place; while it is down it paints on the way there. */
export function brushTo(sitting: Sitting, to: PlanePoint): void {
  const { points } = sitting.store.getState();
  sitting.store.setState({ brush: to, points: points.length > 0 ? withPlace(points, to) : points });
}

/** The brush goes with a mouse that passes over the table, unless it is down. */
export function hoverBrush(sitting: Sitting, at: PlanePoint): void {
  if (sitting.store.getState().points.length === 0) sitting.store.setState({ brush: at });
}

/** Moves the brush by a step, mm. */
export function stepBrush(sitting: Sitting, step: PlanePoint): void {
  const at = placeNow(sitting);
  if (at) brushTo(sitting, plus(at, step));
}

/** A stroke one place longer; straight on it grows in place of getting another joint. */
function withPlace(points: readonly PlanePoint[], to: PlanePoint): PlanePoint[] {
  const [before, last] = [points.at(-2), points.at(-1)!];
  if (!before) return [...points, to];
  const [come, go] = [minus(last, before), minus(to, last)];
  const isStraightOn = Math.abs(cross(come, go)) < 1e-9 && dot(come, go) > 0;
  return [...(isStraightOn ? points.slice(0, -1) : points), to];
}

/** Puts the brush down where it stands, or, when it is down, lifts it: then it has painted. */
export function putBrush(sitting: Sitting): void {
  const at = placeNow(sitting);
  if (sitting.store.getState().points.length > 0) finishPainting(sitting);
  else if (at) sitting.store.setState({ points: [at], brush: at, news: undefined });
}

/** Takes the last place of the stroke back. */
export function stepBrushBack(sitting: Sitting): void {
  const kept = sitting.store.getState().points.slice(0, -1);
  sitting.store.setState({ points: kept, ...(kept.length > 0 && { brush: kept.at(-1)! }) });
}

/** Ends the stroke: what it swept is painted, as one step. */
export function finishPainting(sitting: Sitting, smoothMm?: number): void {
  const { points, tool, settings } = sitting.store.getState();
  const paint = paintOf(tool);
  sitting.store.setState({ points: [] });
  if (!paint || points.length === 0) return;
  const stroke = smoothMm === undefined ? polylinePath(points, false) : strokeOf(points, smoothMm);
  sitting.run(paint === 'in' ? 'Paint in' : 'Paint out', (lines) =>
    paintFoam(lines, stroke, { paint, widthMm: settings.brushMm }, newId),
  );
}
