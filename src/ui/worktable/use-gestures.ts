import type Konva from 'konva';
import { type PointerEvent as ReactPointerEvent, type RefObject, useEffect, useRef } from 'react';
import type { ScreenPoint } from './view.ts';

/** A pointer that moved less than this between down and up was a tap, px. */
const TAP_SLACK_PX = 6;
/** A joint follows sooner: it is caught to be moved. */
const GRAB_SLACK_PX = 3;
const DOUBLE_TAP_MS = 350;

/** How a pointer came down: what its reach and its meaning depend on. */
export interface PointerHow {
  readonly isTouch: boolean;
  /** Shift is held: what is picked is added. */
  readonly adds: boolean;
}

/** Something on the table in the maker's hand, followed until it is let go. */
export interface GrabHandlers<Point> {
  readonly move: (to: Point) => void;
  /** `isTap` when the pointer never moved. */
  readonly end: (isTap: boolean) => void;
  /** Escape, undo, or a second finger: as if it had never been grabbed. */
  readonly cancel: () => void;
}

interface GestureHandlers {
  readonly pan: (dx: number, dy: number) => void;
  readonly zoom: (factor: number, at: ScreenPoint) => void;
  readonly fit: () => void;
  readonly tap: (at: ScreenPoint, how: PointerHow) => void;
  /** A mouse or pen passes over the table with nothing held. */
  readonly hover?: ((at: ScreenPoint) => void) | undefined;
  /** Asked when a pointer comes down: takes the pointer, or leaves it to the table. With it a double tap is two taps. */
  readonly grab?: ((at: ScreenPoint, how: PointerHow) => GrabHandlers<ScreenPoint> | undefined) | undefined;
}

interface Grab {
  readonly pointerId: number;
  readonly from: ScreenPoint;
  readonly handlers: GrabHandlers<ScreenPoint>;
  isTap: boolean;
}

const howOf = (event: ReactPointerEvent): PointerHow => ({
  isTouch: event.pointerType === 'touch',
  adds: event.shiftKey,
});

function spread(points: readonly ScreenPoint[]): { centre: ScreenPoint; distance: number } {
  const [a, b = a] = points as [ScreenPoint, ScreenPoint?];
  return { centre: { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }, distance: Math.hypot(a.x - b.x, a.y - b.y) };
}

function isGrabbed(node: Konva.Node | null): boolean {
  return node !== null && (node.draggable() || isGrabbed(node.getParent()));
}

/**
 * Wheel, drag, pinch, tap and double tap over a worktable. Shapes that can be dragged keep their own drags: a
 * pointer that comes down on one moves it and not the table.
 */
export function useGestures(
  box: RefObject<HTMLElement | null>,
  stage: RefObject<Konva.Stage | null>,
  handlers: GestureHandlers,
) {
  const now = useRef(handlers);
  useEffect(() => {
    now.current = handlers;
  });
  const pointers = useRef(new Map<number, ScreenPoint>());
  const down = useRef<{ at: ScreenPoint; isTap: boolean } | undefined>(undefined);
  const lastTap = useRef<{ at: ScreenPoint; when: number } | undefined>(undefined);

  const place = (event: { clientX: number; clientY: number }): ScreenPoint => {
    const rect = box.current!.getBoundingClientRect();
    return { x: event.clientX - rect.left, y: event.clientY - rect.top };
  };

  useEffect(() => {
    const element = box.current;
    if (!element) return;
    // React listens to wheel passively; keeping the page from scrolling needs a listener of our own.
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 30 : 1;
      // A pinch on a touch pad arrives as a wheel with ctrl and small steps.
      const gain = event.ctrlKey ? 0.01 : 0.0016;
      const rect = element.getBoundingClientRect();
      now.current.zoom(Math.exp(-event.deltaY * lines * gain), {
        x: event.clientX - rect.left,
        y: event.clientY - rect.top,
      });
    };
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => element.removeEventListener('wheel', onWheel);
  }, [box]);

  const grab = useRef<Grab | undefined>(undefined);
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const isUndo = (event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'z';
      if (!grab.current || (event.key !== 'Escape' && !isUndo)) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      const { handlers: held } = grab.current;
      grab.current = undefined;
      held.cancel();
    };
    window.addEventListener('keydown', onKey, { capture: true });
    return () => window.removeEventListener('keydown', onKey, { capture: true });
  }, []);

  /** True when the pointer is, or becomes, one that holds something. */
  const grabbed = (event: ReactPointerEvent, at: ScreenPoint): boolean => {
    if (grab.current) {
      // A second finger: what the first one held is let be, and both move the table.
      const { pointerId, handlers: held, from } = grab.current;
      grab.current = undefined;
      held.cancel();
      pointers.current.set(pointerId, from);
      return false;
    }
    if (pointers.current.size > 0 || event.button !== 0) return false;
    const taken = now.current.grab?.(at, howOf(event));
    if (taken) grab.current = { pointerId: event.pointerId, from: at, handlers: taken, isTap: true };
    return taken !== undefined;
  };

  /** True when the pointer holds something, which then follows it. */
  const dragged = (event: ReactPointerEvent): boolean => {
    const held = grab.current;
    if (held?.pointerId !== event.pointerId) return false;
    const at = place(event);
    if (held.isTap && Math.hypot(at.x - held.from.x, at.y - held.from.y) < GRAB_SLACK_PX) return true;
    held.isTap = false;
    held.handlers.move(at);
    return true;
  };

  const letGo = (event: ReactPointerEvent): boolean => {
    const held = grab.current;
    if (held?.pointerId !== event.pointerId) return false;
    grab.current = undefined;
    if (event.type === 'pointerup') held.handlers.end(held.isTap);
    else held.handlers.cancel();
    return true;
  };

  const tap = (at: ScreenPoint, { timeStamp: when }: ReactPointerEvent, how: PointerHow) => {
    const before = lastTap.current;
    const isDouble =
      !now.current.grab &&
      before !== undefined &&
      when - before.when < DOUBLE_TAP_MS &&
      Math.hypot(at.x - before.at.x, at.y - before.at.y) < 4 * TAP_SLACK_PX;
    lastTap.current = isDouble ? undefined : { at, when };
    if (isDouble) now.current.fit();
    else now.current.tap(at, how);
  };

  const end = (event: ReactPointerEvent) => {
    if (letGo(event)) return;
    const wasDown = pointers.current.delete(event.pointerId);
    if (!wasDown) return;
    const start = down.current;
    if (pointers.current.size > 0) {
      if (start) start.isTap = false;
      return;
    }
    down.current = undefined;
    if (event.type === 'pointerup' && start?.isTap) tap(place(event), event, howOf(event));
  };

  return {
    onPointerDown: (event: ReactPointerEvent) => {
      if (event.button > 1) return;
      const at = place(event);
      if (grabbed(event, at)) {
        event.currentTarget.setPointerCapture(event.pointerId);
        return;
      }
      if (pointers.current.size === 0 && isGrabbed(stage.current?.getIntersection(at) ?? null)) return;
      pointers.current.set(event.pointerId, at);
      down.current = { at, isTap: pointers.current.size === 1 };
      event.currentTarget.setPointerCapture(event.pointerId);
    },
    onPointerMove: (event: ReactPointerEvent) => {
      if (dragged(event)) return;
      const held = pointers.current;
      const before = held.get(event.pointerId);
      if (!before) {
        if (held.size === 0) now.current.hover?.(place(event));
        return;
      }
      const from = spread([...held.values()]);
      const at = place(event);
      const start = down.current;
      if (start?.isTap) {
        if (Math.hypot(at.x - start.at.x, at.y - start.at.y) < TAP_SLACK_PX) return;
        start.isTap = false;
      }
      held.set(event.pointerId, at);
      const to = spread([...held.values()]);
      now.current.pan(to.centre.x - from.centre.x, to.centre.y - from.centre.y);
      if (from.distance > 0) now.current.zoom(to.distance / from.distance, to.centre);
    },
    onPointerUp: end,
    onPointerCancel: end,
  };
}
