/** Questions about joined photos. */
import type { JoinRecord } from './join-types.ts';
import type { Build } from './types.ts';

/** The join that a photo is part of. */
export function joinOf({ joins = [] }: Pick<Build, 'joins'>, captureId: string): JoinRecord | undefined {
  return joins.find(({ captureIds }) => captureIds.includes(captureId));
}

/** The photo that a photo's pieces belong to: the first of its join, or itself. */
export function leadOf(build: Pick<Build, 'joins'>, captureId: string): string {
  return joinOf(build, captureId)?.captureIds[0] ?? captureId;
}
