/**
 * The build on the bench: the one document the screen shows, with its undo. Screens read it with `useBuild` and
 * change it only through `change`, giving the step the words that Undo will say.
 */
import { useStore } from 'zustand';
import type { Stamp } from '../build/commands/arguments.ts';
import { newBuild } from '../build/commands/new-build.ts';
import { type BuildState, createBuildStore, type Recipe } from '../build/store.ts';
import type { Build } from '../build/types.ts';

/** Identity and moment for whatever a command makes. */
export function newStamp(): Stamp {
  return { id: crypto.randomUUID(), when: new Date().toISOString() };
}

export const bench = createBuildStore(newBuild({ stamp: newStamp() }));

/** Part of the build in force; the component renders again when that part changes. */
export function useBuild<T>(select: (build: Build) => T): T {
  return useStore(bench, (state) => select(state.build));
}

/** Part of the store's state, e.g. what Undo would undo. */
export function useBench<T>(select: (state: BuildState) => T): T {
  return useStore(bench, select);
}

/** One undoable step: `change('Rename piece', (build) => renamePiece(build, { pieceId, name }))`. */
export function change(label: string, recipe: Recipe): void {
  bench.run(label, recipe);
}
