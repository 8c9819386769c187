/** Keeping: the build on the bench and its photos are saved in this browser by themselves. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import { bench } from './bench.ts';
import { photoBlob } from './photo-keeping.ts';
import { type Autosave, type SavingState, startAutosave } from './storage/autosave.ts';
import { createThumbnailer } from './storage/thumbnail.ts';
import { storage } from './storage-here.ts';

const saving = createStore<SavingState>(() => ({ kind: 'kept' }));
let autosave: Autosave | undefined;

/** Starts saving; to be called once, before anything is opened. */
export function startKeeping(): void {
  void storage.tidy();
  autosave = startAutosave({
    store: bench,
    storage,
    thumbnailOf: createThumbnailer(photoBlob),
    onState: (state) => saving.setState(state, true),
  });
}

/** How the last saving went. */
export function useSaving(): SavingState {
  return useStore(saving);
}

/** Resolves when everything that was changed so far is saved, or has been refused. */
export async function savingSettled(): Promise<void> {
  await autosave?.flush();
}
