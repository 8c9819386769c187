import { leadOf } from '../../build/join-lookups.ts';
import type { Build } from '../../build/types.ts';
import type { StageState } from '../stage-id.ts';

/** To do until there is a piece; look again when a measured photo has given none, or all are left out. */
export function traceState(build: Build): StageState {
  if (build.pieces.length === 0) return 'to do';
  const isBarren = build.captures.some(
    ({ id, capture }) => capture && !build.pieces.some(({ captureId }) => captureId === leadOf(build, id)),
  );
  return isBarren || build.pieces.every(({ included }) => !included) ? 'look again' : 'done';
}
