import { isCaptureCurrent } from '../../build/lookups.ts';
import type { Build } from '../../build/types.ts';
import type { CaptureWarningCode } from '../../capture/types.ts';
import type { StageState } from '../stage-id.ts';

/** Told, but no reason to look again: the figures already carry a tolerance that covers them. */
const BY_THE_WAY: ReadonlySet<CaptureWarningCode> = new Set([
  'print-scale-unmeasured',
  'no-focal',
  'small-reference',
  'sheet-unmeasured',
  'straight-above-assumed',
]);

export function isByTheWay(code: CaptureWarningCode): boolean {
  return BY_THE_WAY.has(code);
}

/** To do until every photo is measured; look again when one is out of date or the solve found something amiss. */
export function captureState(build: Build): StageState {
  const { captures } = build;
  if (captures.length === 0 || captures.some(({ capture }) => !capture)) return 'to do';
  const isAmiss = captures.some(
    (record) =>
      !isCaptureCurrent(build, record) || record.capture?.warnings.some(({ code }) => !isByTheWay(code)),
  );
  return isAmiss ? 'look again' : 'done';
}
