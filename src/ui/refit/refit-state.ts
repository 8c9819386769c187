import type { Build } from '../../build/types.ts';
import type { StageState } from '../stage-id.ts';

/** Done once a trimmed mock-up has come back into a piece; nobody has to. */
export function refitState(build: Build): StageState {
  return build.pieces.some(({ mockUpOf }) => mockUpOf !== undefined) ? 'done' : 'to do';
}
