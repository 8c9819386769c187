import { useCallback, useMemo } from 'react';
import { leadOf } from '../../build/join-lookups.ts';
import type { CaptureRecord } from '../../build/types.ts';
import { type Advice, advice } from '../../capture/guidance.ts';
import { longestSpan } from '../../capture/marks-on-table.ts';
import { type ToleranceField, toleranceField } from '../../capture/tolerance-field.ts';
import type { Capture } from '../../capture/types.ts';
import { useBuild } from '../bench.ts';
import { useWorkedOut } from '../worked-out.ts';
import { middleOf, piecesOnTable } from './pieces-on-table.ts';

interface Sureness {
  readonly advice: Advice;
  /** True when the length in question lies across a piece, false when between the farthest two marks. */
  readonly isAcrossPiece: boolean;
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
  const hasSheetSides =
    measuredWith?.references?.some((each) => each.kind === 'sheet' && each.measuredMm !== undefined) ?? false;
  const isLetter = useBuild(({ pageSetup: { paper } }) => paper === 'Letter' || paper === 'Tabloid');
  const hasTape = (measuredWith?.tapes ?? []).length > 0;
  const work = useCallback((): Sureness | undefined => {
    if (!capture) return undefined;
    const span = longestSpan(outlines);
    const sheet = isLetter ? 'Letter' : 'A4';
    return {
      advice: advice(capture, {
        hasPrinter,
        hasTape,
        hasSheetSides,
        sheet,
        pieces: outlines,
        ...(span && { span }),
      }),
      isAcrossPiece: span !== undefined,
      field: toleranceField(capture, GRID, middleOf(outlines)),
    };
  }, [capture, outlines, hasPrinter, hasTape, hasSheetSides, isLetter]);
  return useWorkedOut(work).value;
}
