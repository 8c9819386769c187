import { useCallback, useMemo, useState } from 'react';
import { addRevision, setAxis } from '../../build/commands/pieces.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import type { PieceLine } from '../../geometry/line-kinds.ts';
import { extentMm } from '../../geometry/flat-path.ts';
import { boundsOf } from '../../geometry/measure.ts';
import { type FoldLine, foldLine } from '../../mirror/axis.ts';
import { checkFold, type FoldCheck } from '../../mirror/check-fold.ts';
import type { FoldStretch } from '../../mirror/fold-stretches.ts';
import type { Mended, MendMode } from '../../mirror/mend.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { Notice } from '../controls/notice.tsx';
import { FoldingDrawing } from '../drawings/stage-drawings.tsx';
import { engine } from '../engine.ts';
import { type Ask, useJobResult } from '../job-result.ts';
import { useJob } from '../jobs.ts';
import { PiecePicker } from '../piece-picker.tsx';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { useWorkedOut } from '../worked-out.ts';
import { Against } from './against.tsx';
import { AxisPart } from './axis-part.tsx';
import { CheckFigures, LimitField } from './check-part.tsx';
import { EdgePart } from './edge-part.tsx';
import { foldLimitMm } from './fold-limit.ts';
import { FoldCardPart } from './fold-card-part.tsx';
import { FoldTable, type FoldView } from './fold-table.tsx';
import { MEND_JOB, MEND_WHY, type MendChoice, MendPart } from './mend-part.tsx';
import { type EdgeOffset, laidOffsets } from './offsets.ts';
import { outlineOf } from './piece-lines.ts';
import { PlacesPart, placeWordsOf } from './places-part.tsx';
import { AXIS_JOB, useAxis } from './use-axis.ts';

const LEAD = 'One half is folded over onto the other; where they differ, it is measured.';
const NAMES = { left: 'left half', right: 'right half' };
/** Halves that differ by more than this share of the piece's size were hardly meant to match. */
const UNLIKE_SHARE = 0.05;

interface Reading {
  readonly check: FoldCheck;
  readonly offsets: readonly EdgeOffset[];
}

/** The fold measured; undefined when the axis does not pass through the piece. */
function readFold(
  lines: readonly PieceLine[],
  axis: FoldLine,
  limitMm: number,
  excused: Piece['excused'],
): Reading | undefined {
  try {
    const check = checkFold(lines, axis, limitMm, excused);
    return { check, offsets: laidOffsets(check.lines) };
  } catch {
    return undefined;
  }
}

const NO_OFFSETS: readonly EdgeOffset[] = [];

interface PieceFoldedProps {
  readonly piece: Piece;
  readonly onOther: (otherId: string | undefined) => void;
}

/** A piece folded on itself. */
export function PieceFolded({ piece, onOther }: PieceFoldedProps) {
  const { lines } = lastRevision(piece);
  const { excused } = piece;
  const { axis, isKept, candidates } = useAxis(piece);
  const limitMm = useBuild(foldLimitMm);
  const [view, setView] = useState<FoldView>('folded');
  const [at, setAt] = useState<number | undefined>(undefined);
  const [mendChoice, setMendChoice] = useState<MendChoice>('leave');
  const read = useCallback(
    () => (axis ? { reading: readFold(lines, axis, limitMm, excused) } : undefined),
    [lines, axis, limitMm, excused],
  );
  const { value, isStale } = useWorkedOut(axis && read);
  const reading = value?.reading;
  const offsets = reading?.offsets ?? NO_OFFSETS;
  /** Number of the place that is mended alone; undefined mends the whole piece. */
  const [mendPlace, setMendPlace] = useState<number | undefined>(undefined);
  const stretch = mendPlace === undefined ? undefined : reading?.check.stretches[mendPlace];
  const mending = useMending(lines, axis, mendChoice, stretch);
  const accept = (mended: Mended, mode: MendMode) => {
    const why = stretch ? `${MEND_WHY[mode]}, one stretch` : MEND_WHY[mode];
    change(`Mend ${piece.name}`, (build) =>
      addRevision(build, {
        pieceId: piece.id,
        stamp: newStamp(),
        lines: mended.lines,
        why,
        ...(axis && { axis }),
      }),
    );
    setMendChoice('leave');
    setMendPlace(undefined);
  };
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
            isKept={isKept}
            candidates={candidates}
            check={isStale ? undefined : reading?.check}
            offsets={offsets}
            pointed={at === undefined ? undefined : offsets[at]}
            onPoint={setAt}
            view={view}
            onView={setView}
            mended={mendChoice === 'leave' || mending.isStale ? undefined : mending.value}
          />
        ) : (
          <NoFoldLine piece={piece} />
        )
      }
    >
      <PanelPart>
        <PiecePicker />
        <Against pieceId={piece.id} otherId={undefined} onOther={onOther} />
        {reading && <CheckFigures check={reading.check} isStale={isStale} names={NAMES} />}
        {reading && isHardlyMeant(reading.check, lines) && (
          <Notice tone="plain">
            <p>
              These halves hardly look meant to match. If the piece is one of a pair, check it against the
              other one instead.
            </p>
          </Notice>
        )}
        {value && !reading && (
          <Notice tone="look">
            <p>The fold line does not pass through the piece. Drag its ends so that it does.</p>
          </Notice>
        )}
        <LimitField />
      </PanelPart>
      {reading && (
        <EdgePart offsets={offsets} limitMm={limitMm} at={at} onPoint={setAt} laidName={NAMES.right} />
      )}
      {reading && (
        <PlacesPart pieceOf={() => ({ id: piece.id, lines })} names={NAMES} check={reading.check} />
      )}
      {axis && (
        <MendPart
          places={reading?.check.stretches.map((place) => placeWordsOf(place, NAMES)) ?? []}
          place={stretch && mendPlace}
          onPlace={setMendPlace}
          choice={mendChoice}
          onChoice={setMendChoice}
          mended={mending.isStale ? undefined : mending.value}
          onAccept={accept}
        />
      )}
      {axis && (
        <AxisPart pieceId={piece.id} lines={lines} axis={axis} isKept={isKept} candidates={candidates} />
      )}
      {axis && <FoldCardPart pieceId={piece.id} axis={axis} />}
    </StageFrame>
  );
}

function isHardlyMeant({ p95Mm }: FoldCheck, lines: readonly PieceLine[]): boolean {
  const outline = outlineOf(lines);
  return outline !== undefined && p95Mm > UNLIKE_SHARE * extentMm(outline);
}

/** What mending would make of the piece; worked out by the engine once a way of mending is chosen. */
function useMending(
  lines: readonly PieceLine[],
  axis: FoldLine | undefined,
  choice: MendChoice,
  stretch: FoldStretch | undefined,
) {
  const mode = choice === 'leave' ? undefined : choice;
  const ask = useMemo<Ask<Mended> | undefined>(
    () =>
      axis && mode
        ? (call) => engine.mend({ lines, axis, mode, ...(stretch && { stretch }) }, call)
        : undefined,
    [lines, axis, mode, stretch],
  );
  return useJobResult(MEND_JOB, 'Mending', ask);
}

/** Shown while the fold line is looked for, and when none was found. */
function NoFoldLine({ piece }: { readonly piece: Piece }) {
  const isLooking = useJob(AXIS_JOB) !== undefined;
  const outline = outlineOf(lastRevision(piece).lines);
  const placeUpright = () => {
    if (!outline) return;
    const { minX, maxX, minY, maxY } = boundsOf(outline.segments.map(({ to }) => to));
    const point = { x: (minX + maxX) / 2, y: (minY + maxY) / 2 };
    const axis = foldLine({ point, angleRad: Math.PI / 2 }, 'by-hand');
    change('Place fold line', (build) => setAxis(build, { pieceId: piece.id, axis }));
  };
  if (isLooking) {
    return (
      <BareTable drawing={<FoldingDrawing />} title="Looking for the fold line">
        <JobStatus jobKey={AXIS_JOB} />
      </BareTable>
    );
  }
  return (
    <BareTable drawing={<FoldingDrawing />} title={`${piece.name} has no fold line yet`}>
      <JobStatus jobKey={AXIS_JOB} />
      {outline ? (
        <ActionButton onPress={placeUpright}>Place it by hand</ActionButton>
      ) : (
        <p>Only a piece with a closed edge can be folded. Trace it again, or choose another piece.</p>
      )}
    </BareTable>
  );
}
