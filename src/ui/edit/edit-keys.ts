import { useEffect } from 'react';
import { LINE_STYLES, type LineKind } from '../../geometry/line-kinds.ts';
import { bench } from '../bench.ts';
import * as act from './edit-actions.ts';
import { finishPainting, paintOf, putBrush, stepBrush, stepBrushBack } from './paint.ts';
import { stopShaping } from './shape-away.ts';
import type { Sitting } from './sitting.ts';
import { finishDrawing } from './tool-actions.ts';
import { dropWire, finishWire, stepWireBack } from './wire.ts';

/** Kinds of line in the order of their number keys. */
export const KINDS = Object.keys(LINE_STYLES) as LineKind[];

const SMALL_STEP_MM = 0.1;
const LARGE_STEP_MM = 1;
const LEAP_MM = 10;

interface EditKey {
  /** As shown in the help. */
  readonly shown: readonly string[];
  readonly words: string;
}

/** The keys as the help lists them. */
export const EDIT_KEYS: readonly EditKey[] = [
  { shown: ['N', 'B'], words: 'next joint, joint before; with Shift the ones picked stay picked' },
  { shown: ['L'], words: 'next line' },
  { shown: ['Ctrl A'], words: 'all joints of the line' },
  {
    shown: ['←', '→', '↑', '↓'],
    words: 'move what is picked, or the brush, by 0.1 mm; with Shift by 1 mm, with Ctrl by 10 mm',
  },
  { shown: ['H'], words: 'take the joint’s handles in turn, for the arrow keys' },
  { shown: ['A'], words: 'add a joint after the picked one' },
  { shown: ['Delete'], words: 'delete the picked joints' },
  { shown: ['S', 'C'], words: 'smooth joint, corner' },
  { shown: ['G', 'U'], words: 'straight, curved' },
  { shown: ['1', '…', '7'], words: KINDS.map((kind) => LINE_STYLES[kind].label).join(', ') },
  { shown: ['X'], words: 'split the line at the joint' },
  { shown: ['J', 'O'], words: 'join two picked ends, close the line' },
  { shown: ['R'], words: 'reverse the line' },
  { shown: ['Space'], words: 'put the brush down, lift it' },
  { shown: ['Enter'], words: 'end the line being drawn, or the stroke' },
  { shown: ['Esc'], words: 'give up what is begun, then let go' },
];

const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

/** Keys of one letter or sign, by the lower-case letter. */
const VERBS: Readonly<Record<string, (sitting: Sitting, isShift: boolean) => void>> = {
  n: (sitting, isShift) => act.walk(sitting, 1, isShift),
  b: (sitting, isShift) => act.walk(sitting, -1, isShift),
  l: act.walkLines,
  h: act.walkHandles,
  a: act.addJoints,
  delete: act.deleteJoints,
  backspace: deleteOrStepBack,
  s: (sitting) => act.setJoints(sitting, 'smooth'),
  c: (sitting) => act.setJoints(sitting, 'corner'),
  g: (sitting) => act.setSegments(sitting, 'line'),
  u: (sitting) => act.setSegments(sitting, 'cubic'),
  x: act.split,
  j: act.join,
  o: act.close,
  r: act.reverse,
  escape: letGo,
};

/** While a line is drawn Backspace takes its last point back. */
function deleteOrStepBack(sitting: Sitting): void {
  const { points, tool } = sitting.store.getState();
  if (points.length > 0 && tool === 'wire') stepWireBack(sitting);
  else if (points.length > 0 && paintOf(tool)) stepBrushBack(sitting);
  else if (points.length > 0) sitting.store.setState({ points: points.slice(0, -1) });
  else act.deleteJoints(sitting);
}

/** First what is being worked out or begun, then the tool, then what is picked. */
function letGo(sitting: Sitting): void {
  const { points, tool, handle } = sitting.store.getState();
  if (stopShaping()) return;
  if (points.length > 0 && tool === 'wire') dropWire(sitting);
  else if (points.length > 0) sitting.store.setState({ points: [] });
  else if (tool !== 'pick') sitting.take('pick');
  else if (handle) sitting.store.setState({ handle: undefined });
  else sitting.pick([]);
}

const TYPING = 'input, textarea, select, [contenteditable], [role="listbox"], [role="menu"], [role="slider"]';

const isTyping = (target: EventTarget | null) => target instanceof Element && target.closest(TYPING) !== null;

/** Arrow keys and Enter belong to whatever control has the focus, other than the table. */
function isOnControl(target: EventTarget | null): boolean {
  return target instanceof Element && target !== document.body && target.closest('.worktable-box') === null;
}

function stepMm({ shiftKey, ctrlKey, metaKey }: KeyboardEvent): number {
  if (ctrlKey || metaKey) return LEAP_MM;
  return shiftKey ? LARGE_STEP_MM : SMALL_STEP_MM;
}

/** An arrow key moves the brush, or what is picked. */
function stepped(sitting: Sitting, event: KeyboardEvent, [x, y]: readonly [number, number]): boolean {
  const isBrush = paintOf(sitting.store.getState().tool) !== undefined;
  if (isOnControl(event.target) || (!isBrush && sitting.picks().length === 0)) return false;
  const mm = stepMm(event);
  (isBrush ? stepBrush : act.nudge)(sitting, { x: x * mm, y: y * mm });
  return true;
}

/** True when the key was one of the editor's. */
function pressed(sitting: Sitting, event: KeyboardEvent): boolean {
  const key = event.key.toLowerCase();
  if (event.altKey) return false;
  const step = STEPS[event.key];
  if (step) return stepped(sitting, event, step);
  if (event.ctrlKey || event.metaKey) {
    if (key !== 'a') return false;
    act.pickAll(sitting);
    return true;
  }
  if (key === 'enter') {
    if (isOnControl(event.target) || sitting.store.getState().points.length === 0) return false;
    const { tool } = sitting.store.getState();
    if (tool === 'draw') finishDrawing(sitting, false);
    else if (tool === 'wire') void finishWire(sitting, false);
    else if (paintOf(tool)) finishPainting(sitting);
    return true;
  }
  if (key === ' ') {
    if (isOnControl(event.target) || !paintOf(sitting.store.getState().tool)) return false;
    putBrush(sitting);
    return true;
  }
  const kind = KINDS[Number(key) - 1];
  if (kind) {
    act.setKind(sitting, kind);
    return true;
  }
  const verb = VERBS[key];
  verb?.(sitting, event.shiftKey);
  return verb !== undefined;
}

/** The editor's keys work wherever the focus is, but where the maker is typing. */
export function useEditKeys(sitting: Sitting): void {
  useEffect(() => {
    const onDown = (event: KeyboardEvent) => {
      if (isTyping(event.target)) return;
      // A key held down goes on with the same nudge; any other key begins something else.
      if (!STEPS[event.key] && bench.getState().gestureLabel !== undefined) act.endNudge(sitting);
      if (!pressed(sitting, event)) return;
      event.preventDefault();
      event.stopPropagation();
    };
    const onUp = (event: KeyboardEvent) => {
      if (STEPS[event.key]) act.endNudge(sitting);
    };
    const onBlur = () => act.endNudge(sitting);
    window.addEventListener('keydown', onDown, { capture: true });
    window.addEventListener('keyup', onUp, { capture: true });
    window.addEventListener('blur', onBlur);
    return () => {
      act.endNudge(sitting);
      window.removeEventListener('keydown', onDown, { capture: true });
      window.removeEventListener('keyup', onUp, { capture: true });
      window.removeEventListener('blur', onBlur);
    };
  }, [sitting]);
}
