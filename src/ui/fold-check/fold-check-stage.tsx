import { ChartNoAxesCombined } from 'lucide-react';
import { useCallback, useMemo, useState } from 'react';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import type { FoldLine } from '../../mirror/axis.ts';
import { checkFold, type FoldCheck } from '../../mirror/check-fold.ts';
import { useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Notice } from '../controls/notice.tsx';
import { goToStage } from '../desk.ts';
import { FoldingDrawing } from '../drawings/stage-drawings.tsx';
import '../look/making.css';
import { PiecePicker } from '../piece-picker.tsx';
import { usePickedPiece } from '../picked.ts';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { useWorkedOut } from '../worked-out.ts';
import { AxisPart } from './axis-part.tsx';
import { CheckFigures, LimitField } from './check-part.tsx';
import { AXIS_JOB } from './find-fold-lines.ts';
import { foldLimitMm } from './fold-limit.ts';
import { FoldTable, type FoldView } from './fold-table.tsx';
import { OffsetStrip, placeWords } from './offset-strip.tsx';
import { type EdgeOffset, foldOffsets } from './offsets.ts';
import { useAxis } from './use-axis.ts';

const LEAD = 'One half is folded over onto the other; where they differ, it is measured.';
const ENDS = ['right half reaches farther', 'right half falls short'] as const;

export function FoldCheckStage() {
  const piece = usePickedPiece();
  // Another piece begins with nothing pointed at and nothing chosen.
  return piece ? <PieceFolded key={piece.id} piece={piece} /> : <NothingToFold />;
}

interface Reading {
  readonly check: FoldCheck;
  readonly offsets: readonly EdgeOffset[];
}

/** The fold measured; undefined when the axis does not pass through the piece. */
function readFold(lines: readonly PieceLine[], axis: FoldLine, limitMm: number): Reading | undefined {
  try {
    const check = checkFold(lines, axis, limitMm);
    return { check, offsets: foldOffsets(check) };
  } catch {
    return undefined;
  }
}

const NO_OFFSETS: readonly EdgeOffset[] = [];

function PieceFolded({ piece }: { readonly piece: Piece }) {
  const { lines } = lastRevision(piece);
  const { axis, isKept, candidates } = useAxis(piece);
  const limitMm = useBuild(foldLimitMm);
  const [view, setView] = useState<FoldView>('folded');
  const [at, setAt] = useState<number | undefined>(undefined);
  const work = useCallback(
    () => (axis ? { reading: readFold(lines, axis, limitMm) } : undefined),
    [lines, axis, limitMm],
  );
  const { value, isStale } = useWorkedOut(axis && work);
  const reading = value?.reading;
  const offsets = reading?.offsets ?? NO_OFFSETS;
  const pointed = at === undefined ? undefined : offsets[at];
  const others = useMemo(() => candidates ?? [], [candidates]);
  return (
    <StageFrame
      title="Fold check"
      lead={LEAD}
      table={
        axis ? (
          <FoldTable
            pieceId={piece.id}
            pieceName={piece.name}
            lines={lines}
            axis={axis}
            candidates={others}
            check={reading?.check}
            offsets={offsets}
            pointed={pointed}
            onPoint={setAt}
            view={view}
            onView={setView}
            mended={undefined}
          />
        ) : (
          <BareTable drawing={<FoldingDrawing />} title="Looking for the fold line">
            <JobStatus jobKey={AXIS_JOB} />
          </BareTable>
        )
      }
    >
      <PanelPart>
        <PiecePicker />
        {reading && <CheckFigures check={reading.check} isStale={isStale} />}
        {value && !reading && (
          <Notice tone="look">
            <p>The fold line does not pass through the piece. Drag its ends so that it does.</p>
          </Notice>
        )}
        <LimitField />
      </PanelPart>
      {reading && (
        <PanelPart title="Along the edge" icon={ChartNoAxesCombined}>
          <OffsetStrip offsets={offsets} limitMm={limitMm} at={at} onPoint={setAt} ends={ENDS} />
          <p className="small quiet">
            {pointed ? placeWords(pointed, ENDS) : 'Point at the strip, or tap the edge on the table.'}
          </p>
        </PanelPart>
      )}
      {axis && <AxisPart pieceId={piece.id} lines={lines} axis={axis} isKept={isKept} candidates={others} />}
    </StageFrame>
  );
}

function NothingToFold() {
  return (
    <StageFrame
      title="Fold check"
      lead={LEAD}
      table={
        <BareTable drawing={<FoldingDrawing />} title="Do the two halves match?">
          <p>
            Fold a paper mock-up along its middle and you see where it is uneven. Here the traced piece is
            folded, and every difference is measured. Photograph a mock-up first.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            Go to Capture
          </ActionButton>
        </BareTable>
      }
    >
      <LimitField />
    </StageFrame>
  );
}
