/**
 * Pan and zoom as plain numbers. The *canvas* frame of a worktable is the photo's pixels, or the plane's mm with
 * y turned down; a view maps it to the screen: screen = scale * canvas + (x, y), CSS px.
 */
export interface View {
  readonly scale: number;
  readonly x: number;
  readonly y: number;
}

export interface ScreenPoint {
  readonly x: number;
  readonly y: number;
}

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** A rectangle of the canvas frame. */
export interface Extent {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** What lies over the table's upper and lower end, px: controls that should not cover what is fitted. */
export interface Insets {
  readonly top: number;
  readonly bottom: number;
}

const NO_INSETS: Insets = { top: 0, bottom: 0 };

/** The view that shows the whole extent, centred between the insets, with `marginPx` round it. */
export function fitView(extent: Extent, whole: Size, marginPx: number, insets = NO_INSETS): View {
  // On a very low table the controls may cover what they must.
  const share = Math.min(1, whole.height / 2 / Math.max(1, insets.top + insets.bottom));
  const top = insets.top * share;
  const size = { width: whole.width, height: whole.height - top - insets.bottom * share };
  const margin = Math.min(marginPx, size.width / 6, size.height / 6);
  const scale = Math.min(
    (size.width - 2 * margin) / Math.max(extent.width, 1e-9),
    (size.height - 2 * margin) / Math.max(extent.height, 1e-9),
  );
  return {
    scale,
    x: size.width / 2 - scale * (extent.left + extent.width / 2),
    y: top + size.height / 2 - scale * (extent.top + extent.height / 2),
  };
}

/** Zooms by `factor` so that what lies under the screen point `at` stays there. */
export function zoomAt(view: View, factor: number, at: ScreenPoint): View {
  return {
    scale: view.scale * factor,
    x: at.x + (view.x - at.x) * factor,
    y: at.y + (view.y - at.y) * factor,
  };
}

export function panBy(view: View, dx: number, dy: number): View {
  return { ...view, x: view.x + dx, y: view.y + dy };
}

/** The canvas point under a screen point. */
export function toCanvas(view: View, at: ScreenPoint): ScreenPoint {
  return { x: (at.x - view.x) / view.scale, y: (at.y - view.y) / view.scale };
}

/** Farther out than half the fit there is nothing to see; closer in than `closestScale` only blur. */
export interface ViewLimits {
  readonly extent: Extent;
  readonly size: Size;
  readonly fitScale: number;
  readonly closestScale: number;
}

/** Zooms as `zoomAt` does, but stops at the limits of scale instead of sliding on past them. */
export function zoomWithin(view: View, factor: number, at: ScreenPoint, limits: ViewLimits): View {
  const [lowest, highest] = [limits.fitScale / 2, Math.max(limits.closestScale, limits.fitScale)];
  const scale = Math.min(Math.max(view.scale * factor, lowest), highest);
  return keepInSight(zoomAt(view, scale / view.scale, at), limits);
}

/** Moves an interval [low, high] by `shift` so that at least `keep` of it stays within 0..room. */
function shiftInSight(shift: number, low: number, high: number, room: number): number {
  const keep = Math.min(room / 3, high - low);
  return Math.min(Math.max(shift, keep - high), room - keep - low);
}

/** A third of the screen, or the whole extent if that is smaller, always stays in sight: nothing gets lost off the edge. */
export function keepInSight(view: View, { extent, size }: ViewLimits): View {
  const { scale } = view;
  return {
    scale,
    x: shiftInSight(view.x, extent.left * scale, (extent.left + extent.width) * scale, size.width),
    y: shiftInSight(view.y, extent.top * scale, (extent.top + extent.height) * scale, size.height),
  };
}

/** Length of a scale bar, mm: the longest of 1, 2, 5 x 10^n that is no longer than `longestPx` on the screen. */
export function scaleBarMm(pxPerMm: number, longestPx: number): number {
  const longestMm = longestPx / pxPerMm;
  const decade = 10 ** Math.floor(Math.log10(longestMm));
  const lead = longestMm / decade;
  return decade * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
}
