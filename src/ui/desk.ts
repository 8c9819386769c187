/**
 * What the screen shows of the build: not part of the document, not undone, gone with the session.
 */
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { TapeUnit } from '../fit/tape-length.ts';
import type { StageId } from './stage-id.ts';

interface Desk {
  /** `opening` while a kept build is read after a reload. */
  readonly screen: 'start' | 'opening' | 'build';
  readonly stage: StageId;
  /** The photo on the table; the first one when it is not in the build. */
  readonly captureId: string | undefined;
  /** The piece on the table, shared by trace, fold check, fit and template. */
  readonly pieceId: string | undefined;
  /** What the maker's tape is divided in. */
  readonly tapeUnit: TapeUnit;
}

const AT_FIRST: Desk = {
  screen: 'start',
  stage: 'capture',
  captureId: undefined,
  pieceId: undefined,
  tapeUnit: 'mm',
};

export const desk = createStore<Desk>(() => AT_FIRST);

export function useDesk<T>(select: (desk: Desk) => T): T {
  return useStore(desk, select);
}

export function goToStage(stage: StageId): void {
  desk.setState({ screen: 'build', stage });
}

export function goToStart(): void {
  desk.setState({ screen: 'start' });
}

export function pickPiece(pieceId: string | undefined): void {
  desk.setState({ pieceId });
}

export function setTapeUnit(tapeUnit: TapeUnit): void {
  desk.setState({ tapeUnit });
}

export function pickCapture(captureId: string | undefined): void {
  desk.setState({ captureId });
}
