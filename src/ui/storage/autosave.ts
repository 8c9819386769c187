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

  const needsSaving = (build: Build) => !isUntouched(build) && !storage.isKept(build);
  const save = async (build: Build): Promise<void> => {
    if (!needsSaving(build)) return;
    onState({ kind: 'saving' });
    // A picture for the list is not worth losing the build over.
    const thumbnail = await thumbnailOf?.(build).catch(() => undefined);
    const outcome = await storage.save(build, thumbnail);
    if (!outcome.ok) onState({ kind: 'failed', problem: outcome.problem });
    else if (store.getState().build === build) onState({ kind: 'kept' });
  };
  const flush = (): Promise<void> => {
    clearTimeout(timer);
    const { build, gestureLabel } = store.getState();
    if (gestureLabel === undefined) working = working.then(() => save(build));
    return working;
  };
  const unsubscribe = store.subscribe(({ build }, former) => {
    clearTimeout(timer);
    const isOther = build.id !== former.build.id;
    if (isOther && former.gestureLabel === undefined) working = working.then(() => save(former.build));
    if (needsSaving(build)) timer = setTimeout(flush, restMs);
  });
  if (needsSaving(store.getState().build)) timer = setTimeout(flush, restMs);
  const onHide = () => {
    if (document.visibilityState === 'hidden') void flush();
  };
  const onLeave = () => void flush();
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
