import type { BuildStore } from '../../build/store.ts';
import type { Build } from '../../build/types.ts';
import type { Problem } from '../../outcome.ts';
import type { BuildStorage } from './build-storage.ts';

export type SavingState =
  | { readonly kind: 'kept' }
  | { readonly kind: 'saving' }
  | { readonly kind: 'failed'; readonly problem: Problem };

export interface AutosaveSettings {
  readonly store: BuildStore;
  readonly storage: Pick<BuildStorage, 'save' | 'isKept'>;
  /** A small JPEG of the build for the list, or undefined to keep the former one. */
  readonly thumbnailOf?: (build: Build) => Promise<ArrayBuffer | undefined>;
  readonly onState?: (state: SavingState) => void;
  /** Changes that follow each other faster than this are saved together, ms. */
  readonly restMs?: number;
}

export interface Autosave {
  /** Saves what is not saved yet, now. */
  flush(): Promise<void>;
  /** Saves, and watches no longer. */
  stop(): Promise<void>;
}

const DEFAULT_REST_MS = 400;

/** A build that was only looked at: nothing was put into it, and it was never changed. */
function isUntouched({ captures, pieces, createdAt, changedAt }: Build): boolean {
  return captures.length === 0 && pieces.length === 0 && changedAt === createdAt;
}

/**
 * Keeps the store's build saved: after every change, before another build takes its place, and when the page is
 * hidden or left. A gesture under way is not saved until it is committed, and an untouched new build not at all.
 */
export function startAutosave(settings: AutosaveSettings): Autosave {
  const { store, storage, thumbnailOf, onState = () => undefined, restMs = DEFAULT_REST_MS } = settings;
  let timer: ReturnType<typeof setTimeout> | undefined;
  let working: Promise<void> = Promise.resolve();

  let told: SavingState['kind'] = 'kept';
  const tell = (state: SavingState): void => {
    if (state.kind === told && state.kind !== 'failed') return;
    told = state.kind;
    onState(state);
  };
  const needsSaving = (build: Build) => !isUntouched(build) && !storage.isKept(build);
  const save = async (build: Build, withPicture: boolean): Promise<void> => {
    if (!needsSaving(build)) return;
    tell({ kind: 'saving' });
    // A picture for the list is not worth losing the build over.
    const thumbnail = withPicture ? await thumbnailOf?.(build).catch(() => undefined) : undefined;
    const outcome = await storage.save(build, thumbnail);
    if (!outcome.ok) tell({ kind: 'failed', problem: outcome.problem });
    else if (store.getState().build === build) tell({ kind: 'kept' });
  };
  const saveNow = (withPicture: boolean): Promise<void> => {
    clearTimeout(timer);
    const { build, gestureLabel } = store.getState();
    if (gestureLabel === undefined) working = working.then(() => save(build, withPicture));
    return working;
  };
  const flush = () => saveNow(true);
  const unsubscribe = store.subscribe(({ build }, former) => {
    clearTimeout(timer);
    const isOther = build.id !== former.build.id;
    if (isOther && former.gestureLabel === undefined) working = working.then(() => save(former.build, true));
    // Said at once: a maker who closes the page on the word "kept" must not lose the last change.
    if (needsSaving(build)) {
      tell({ kind: 'saving' });
      timer = setTimeout(flush, restMs);
    } else if (!isOther) tell({ kind: 'kept' });
  });
  if (needsSaving(store.getState().build)) timer = setTimeout(flush, restMs);
  const onHide = () => {
    if (document.visibilityState === 'hidden') void saveNow(false);
  };
  // Nothing may stand between leaving and saving, not even the picture.
  const onLeave = () => void saveNow(false);
  const isInPage = typeof document !== 'undefined';
  if (isInPage) {
    // A phone may end a hidden page without a further word.
    document.addEventListener('visibilitychange', onHide);
    addEventListener('pagehide', onLeave);
  }

  return {
    flush,
    stop() {
      unsubscribe();
      if (isInPage) {
        document.removeEventListener('visibilitychange', onHide);
        removeEventListener('pagehide', onLeave);
      }
      return flush();
    },
  };
}
