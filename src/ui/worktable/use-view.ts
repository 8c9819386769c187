import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import {
  type Extent,
  fitView,
  type Insets,
  keepInSight,
  panBy,
  type ScreenPoint,
  type Size,
  type View,
  type ViewLimits,
  zoomWithin,
} from './view.ts';

const MARGIN_PX = 16;

interface ViewControls {
  readonly view: View;
  readonly pan: (dx: number, dy: number) => void;
  readonly zoom: (factor: number, at?: ScreenPoint) => void;
  readonly fit: () => void;
}

/**
 * Pan and zoom of a worktable. The view fits the extent whenever `fitKey` changes, and stays fitted when the
 * table is resized until the maker moves it.
 */
export function useView(
  extent: Extent,
  size: Size,
  insets: Insets,
  closestScale: number,
  fitKey: string,
): ViewControls {
  const limits = useMemo<ViewLimits>(
    () => ({ extent, size, closestScale, fitScale: fitView(extent, size, MARGIN_PX, insets).scale }),
    [extent, size, insets, closestScale],
  );
  const [moved, setMoved] = useState<{ readonly key: string; readonly view: View } | undefined>(undefined);
  const fitted = fitView(extent, size, MARGIN_PX, insets);
  // A view belongs to the thing it was moved over: another photo or piece starts fitted.
  const view = moved?.key === fitKey ? moved.view : fitted;

  const latest = useRef({ view, limits, fitKey });
  useEffect(() => {
    latest.current = { view, limits, fitKey };
  });

  const change = useCallback((next: (view: View, limits: ViewLimits) => View) => {
    const now = latest.current;
    const changed = next(now.view, now.limits);
    // Several events may come before the next render: each must build on the one before.
    latest.current = { ...now, view: changed };
    setMoved({ key: now.fitKey, view: changed });
  }, []);

  const pan = useCallback(
    (dx: number, dy: number) => change((view, limits) => keepInSight(panBy(view, dx, dy), limits)),
    [change],
  );
  const zoom = useCallback(
    (factor: number, at?: ScreenPoint) =>
      change((view, limits) =>
        zoomWithin(view, factor, at ?? { x: limits.size.width / 2, y: limits.size.height / 2 }, limits),
      ),
    [change],
  );
  const fit = useCallback(() => setMoved(undefined), []);
  return { view, pan, zoom, fit };
}
