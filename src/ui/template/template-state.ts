import type { Build } from '../../build/types.ts';
import type { StageState } from '../stage-id.ts';
import { printedPieces } from './template-input-of.ts';

/** To do until there is something to print; look again when every piece is left out or cut no times. */
export function templateState(build: Build): StageState {
  if (build.pieces.length === 0) return 'to do';
  return printedPieces(build).length > 0 ? 'done' : 'look again';
}
