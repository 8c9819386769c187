/** The builds kept in this browser: listed, opened, removed. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import { newBuild } from '../build/commands/new-build.ts';
import { bench, newStamp } from './bench.ts';
import { desk } from './desk.ts';
import { runJob } from './jobs.ts';
import { savingSettled } from './keeping.ts';
import type { StageId } from './stage-id.ts';
import { storage } from './storage-here.ts';
import type { Cover } from './storage/shelf.ts';

/** Keys of the jobs that read the list and open a build. */
export const LISTING = 'kept builds';
export const OPENING = 'open kept build';

interface KeptBuilds {
  /** Undefined until the list has been read. */
  readonly covers: readonly Cover[] | undefined;
  /** Taken off the list, and removed for good when the maker no longer may want it back. */
  readonly removing: Cover | undefined;
}

const store = createStore<KeptBuilds>(() => ({ covers: undefined, removing: undefined }));

export function useKeptBuilds(): KeptBuilds {
  return useStore(store);
}

/** Reads the list anew. */
export async function listKeptBuilds(): Promise<void> {
  const covers = await runJob(LISTING, 'Looking up your builds', () => storage.list());
  if (!covers) return;
  store.setState(({ removing }) => ({ covers: covers.filter(({ id }) => id !== removing?.id) }));
}

/** Opens a kept build; at the stage given, or at the one where work went on last. */
export async function openKeptBuild(id: string, stage?: StageId): Promise<void> {
  if (bench.getState().build.id === id) {
    desk.setState({ screen: 'build', ...(stage && { stage }) });
    return;
  }
  const build = await runJob(OPENING, 'Opening the build', () => storage.load(id));
  if (!build) {
    desk.setState({ screen: 'start' });
    return;
  }
  bench.open(build);
  const usual = build.pieces.length > 0 ? 'trace' : 'capture';
  desk.setState({ screen: 'build', stage: stage ?? usual, captureId: undefined, pieceId: undefined });
}

/** Takes a build off the list; it can be brought back until another is removed or the page is left. */
export async function removeKeptBuild(cover: Cover): Promise<void> {
  await finishRemoving();
  store.setState(({ covers }) => ({ covers: covers?.filter(({ id }) => id !== cover.id), removing: cover }));
}

export function bringBack(): void {
  store.setState({ removing: undefined });
  void listKeptBuilds();
}

/** Removes for good what was taken off the list. */
export async function finishRemoving(): Promise<void> {
  const { removing } = store.getState();
  if (!removing) return;
  store.setState({ removing: undefined });
  // The build on the bench would save itself again.
  if (bench.getState().build.id === removing.id) bench.open(newBuild({ stamp: newStamp() }));
  await savingSettled();
  await storage.remove(removing.id);
}
