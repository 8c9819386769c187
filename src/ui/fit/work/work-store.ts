/** Work on the pattern that is not kept yet: lines drawn to open a piece at, edges picked for a seam. Gone with the session. */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { PieceEdge } from '../../../build/seam-types.ts';
import type { Slash } from '../../../fit/spread/slash.ts';
import type { PieceLine } from '../../../geometry/line-kinds.ts';
import type { PlanePoint } from '../../../geometry/point.ts';

export type WorkId = 'longer' | 'seams' | 'bands' | 'sizes';

export interface DrawnSlash extends Slash {
  readonly id: string;
}

interface Work {
  /** The part that is open; its own table then lies on the worktable. */
  readonly open: WorkId | undefined;
  readonly slashes: Readonly<Record<string, readonly DrawnSlash[]>>;
  /** Drawing a line: waiting for its first end, or its second. */
  readonly drawing: 'first' | PlanePoint | undefined;
  /** Openings that open with the piece instead of staying as they are. */
  readonly openedIds: ReadonlySet<string>;
  /** How far edges are trued to either side, mm; undefined for four times the opening. */
  readonly reachMm: number | undefined;
  readonly edges: { readonly a: PieceEdge | undefined; readonly b: PieceEdge | undefined };
  /** The band or bar that is being made to measure, as it would be cut; undefined where its figures cannot be. */
  readonly made: { readonly name: string; readonly lines: readonly PieceLine[] } | undefined;
  /** The edge that the next tap on the piece picks. */
  readonly picking: 'a' | 'b';
}

export const work = createStore<Work>(() => ({
  open: undefined,
  slashes: {},
  drawing: undefined,
  openedIds: new Set<string>(),
  reachMm: undefined,
  edges: { a: undefined, b: undefined },
  made: undefined,
  picking: 'a',
}));

export function useWork<T>(select: (work: Work) => T): T {
  return useStore(work, select);
}

const NONE: readonly DrawnSlash[] = [];

export function useSlashes(pieceId: string): readonly DrawnSlash[] {
  return useWork(({ slashes }) => slashes[pieceId] ?? NONE);
}

export function setSlashes(pieceId: string, slashes: readonly DrawnSlash[]): void {
  work.setState((before) => ({ slashes: { ...before.slashes, [pieceId]: slashes } }));
}

export function changeSlash(pieceId: string, slashId: string, change: Partial<Slash>): void {
  const slashes = work.getState().slashes[pieceId] ?? NONE;
  setSlashes(
    pieceId,
    slashes.map((slash) => (slash.id === slashId ? { ...slash, ...change } : slash)),
  );
}

/** Picks an edge, and goes on to the other one. */
export function pickEdge(side: 'a' | 'b', edge: PieceEdge | undefined): void {
  work.setState(({ edges }) => ({
    edges: { ...edges, [side]: edge },
    picking: side === 'a' ? 'b' : 'a',
  }));
}
