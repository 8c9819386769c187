import { createStore, type StoreApi } from 'zustand/vanilla';
import { freeze } from 'immer';
import { emptyHistory, type History, redone, remembered, undone } from './history.ts';
import type { Build } from './types.ts';

/** A change as a pure function, most often one command or several in a row. */
export type Recipe = (build: Build) => Build;

export interface BuildState {
  /** The document as it is shown, an open gesture's change included. */
  readonly build: Build;
  /** "Rename piece" for a button that says "Undo: rename piece"; undefined when there is nothing to undo. */
  readonly undoLabel: string | undefined;
  readonly redoLabel: string | undefined;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** Label of the gesture in progress. */
  readonly gestureLabel: string | undefined;
}

/** Read it like any zustand store (useStore works); write it through the verbs below only. */
export interface BuildStore extends Pick<StoreApi<BuildState>, 'getState' | 'getInitialState' | 'subscribe'> {
  /** Applies one undoable step; a recipe that changes nothing leaves no step. */
  run(label: string, recipe: Recipe): void;
  undo(): void;
  redo(): void;
  /** Begins a gesture, which becomes one undo step however often it is updated. An open one is committed. */
  beginGesture(label: string): void;
  /** Shows the gesture's change. Every recipe starts from the build as it was when the gesture began. */
  updateGesture(recipe: Recipe): void;
  commitGesture(): void;
  /** Ends the gesture without a trace. */
  cancelGesture(): void;
  /** Shows another build, with a history of its own. */
  open(build: Build): void;
}

interface Gesture {
  readonly label: string;
  readonly recipe: Recipe;
}

/** The document of the screen, with unlimited undo. `now` gives the moment of a change, ISO 8601. */
export function createBuildStore(
  initial: Build,
  now: () => string = () => new Date().toISOString(),
): BuildStore {
  let history: History = emptyHistory(freeze(initial, true));
  let gesture: Gesture | undefined;

  const applied = (build: Build, recipe: Recipe): Build => {
    const changed = recipe(build);
    return changed === build ? build : freeze({ ...changed, changedAt: now() }, true);
  };
  const stateOf = (build: Build): BuildState => ({
    build,
    undoLabel: history.past.at(-1)?.label,
    redoLabel: history.future.at(-1)?.label,
    canUndo: history.past.length > 0,
    canRedo: history.future.length > 0,
    gestureLabel: gesture?.label,
  });
  const store = createStore<BuildState>(() => stateOf(history.present));
  const show = (build = history.present): void => store.setState(stateOf(build), true);

  const settle = (): void => {
    if (!gesture) return;
    const { label } = gesture;
    gesture = undefined;
    history = remembered(history, label, store.getState().build);
  };

  /** The gesture's change on top of a result that arrived meanwhile; one that no longer applies is dropped. */
  const carriedOver = ({ recipe }: Gesture): Build | undefined => {
    try {
      return applied(history.present, recipe);
    } catch {
      gesture = undefined;
      return undefined;
    }
  };

  return {
    getState: store.getState,
    getInitialState: store.getInitialState,
    subscribe: store.subscribe,
    run(label, recipe) {
      history = remembered(history, label, applied(history.present, recipe));
      show(gesture && carriedOver(gesture));
    },
    undo() {
      // Undo while dragging takes the drag back.
      if (gesture) gesture = undefined;
      else history = undone(history);
      show();
    },
    redo() {
      settle();
      history = redone(history);
      show();
    },
    beginGesture(label) {
      settle();
      gesture = { label, recipe: (build) => build };
      show();
    },
    updateGesture(recipe) {
      if (!gesture) throw new Error('updateGesture without beginGesture');
      const build = applied(history.present, recipe);
      gesture = { ...gesture, recipe };
      show(build);
    },
    commitGesture() {
      settle();
      show();
    },
    cancelGesture() {
      gesture = undefined;
      show();
    },
    open(build) {
      gesture = undefined;
      history = emptyHistory(freeze(build, true));
      show();
    },
  };
}
