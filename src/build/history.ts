import type { Build } from './types.ts';

/**
 * Undo keeps whole documents, not patches. Commands share everything that they do not change, so a step costs as
 * much memory as its patch would; and what comes back is the very document, to the byte. (A patch puts a removed
 * optional field back as the object's last one, and the bytes differ.)
 */
interface Step {
  readonly label: string;
  /** The document on the far side of the step: before it in the past, after it in the future. */
  readonly build: Build;
}

export interface History {
  readonly present: Build;
  /** Oldest first. */
  readonly past: readonly Step[];
  /** The next to redo comes last. */
  readonly future: readonly Step[];
}

export function emptyHistory(present: Build): History {
  return { present, past: [], future: [] };
}

/** The history with a step more; what was undone before can no longer be redone. */
export function remembered(history: History, label: string, build: Build): History {
  if (build === history.present) return history;
  return { present: build, past: [...history.past, { label, build: history.present }], future: [] };
}

export function undone({ present, past, future }: History): History {
  const step = past.at(-1);
  if (!step) return { present, past, future };
  return {
    present: step.build,
    past: past.slice(0, -1),
    future: [...future, { label: step.label, build: present }],
  };
}

export function redone({ present, past, future }: History): History {
  const step = future.at(-1);
  if (!step) return { present, past, future };
  return {
    present: step.build,
    past: [...past, { label: step.label, build: present }],
    future: future.slice(0, -1),
  };
}
