import { castDraft, produce } from 'immer';
import type { Reference } from '../../capture/types.ts';
import { LIMITS } from '../limits.ts';
import type { Build } from '../types.ts';
import { checked, itemWithId } from './arguments.ts';

export interface ReferencesChange {
  readonly captureId: string;
  /** At least one; scale cards alone are the usual choice, and are kept as no choice at all. */
  readonly references: readonly Reference[];
}

/** Chooses what a photo is measured by. The capture is out of date until it is solved again. */
export function setReferences(build: Build, { captureId, references }: ReferencesChange): Build {
  if (references.length === 0) throw new RangeError('A photo is measured by at least one thing');
  for (const reference of references) {
    if (reference.kind === 'two-points')
      checked('Distance of the two points', reference.distanceMm, LIMITS.tapeLengthMm);
    if (reference.kind === 'sheet' && reference.measuredMm) {
      checked('Short side of the sheet', reference.measuredMm.shortMm, LIMITS.sheetSideMm);
      checked('Long side of the sheet', reference.measuredMm.longMm, LIMITS.sheetSideMm);
    }
  }
  return produce(build, ({ captures }) => {
    const record = itemWithId(captures, captureId, 'photo');
    if (references.every(({ kind }) => kind === 'cards')) delete record.references;
    else record.references = castDraft(references);
  });
}
