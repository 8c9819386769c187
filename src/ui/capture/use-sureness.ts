import { useCallback, useMemo } from 'react';
import { leadOf } from '../../build/join-lookups.ts';
import type { CaptureRecord } from '../../build/types.ts';
import { type Guidance, guidance, halving } from '../../capture/guidance.ts';
import { type ToleranceField, toleranceField } from '../../capture/tolerance-field.ts';
import type { Capture } from '../../capture/types.ts';
import { useBuild } from '../bench.ts';
import { useWorkedOut } from '../worked-out.ts';
import { longestSpan, middleOf, piecesOnTable } from './pieces-on-table.ts';

interface Sureness {
  /** One piece of advice per action, the best first. */
  readonly advice: readonly Guidance[];
  /** How several steps together halve the tolerance, where one alone does not. */
  readonly together: string | undefined;
  /** The place for one more card that helps most. */
  readonly card: Guidance | undefined;
  readonly field: ToleranceField;
}

/** Fine enough for smooth contours, and worked out in a few hundredths of a second. */
const GRID = { columns: 29, rows: 22 };

/** Where a photo is sure and what would make it surer, worked out beside the rendering. */
export function useSureness(record: CaptureRecord, capture: Capture | undefined): Sureness | undefined {
  const { id: captureId, measuredWith } = record;
  const pieces = useBuild(({ pieces }) => pieces);
  const leadId = useBuild((build) => leadOf(build, captureId));
  const outlines = useMemo(() => piecesOnTable(pieces, leadId), [pieces, leadId]);
  const hasPrinter = measuredWith?.printer !== undefined;
  const hasTape = (measuredWith?.tapes ?? []).length > 0;
  const work = useCallback((): Sureness | undefined => {
    if (!capture) return undefined;
    const span = longestSpan(outlines);
    const asked = { hasPrinter, hasTape, pieces: outlines, ...(span && { span }) };
    const found = guidance(capture, asked);
    const halved = halving(capture, asked);
    return {
      advice: found.filter(({ action }, k) => found.findIndex((other) => other.action === action) === k),
      together: halved && halved.actions.length > 1 ? halved.sentence : undefined,
      card: found.find(({ action }) => action === 'add-card'),
      field: toleranceField(capture, GRID, middleOf(outlines)),
    };
  }, [capture, outlines, hasPrinter, hasTape]);
  return useWorkedOut(work).value;
}
