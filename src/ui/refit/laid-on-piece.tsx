import { type ReactNode, useMemo, useState } from 'react';
import { acceptMockUp } from '../../build/commands/refit.ts';
import type { Piece, Revision } from '../../build/types.ts';
import type { ComparedLine } from '../../refit/compare-line.ts';
import type { RevisionComparison } from '../../refit/compare-revisions.ts';
import type { WayToLay } from '../../refit/ways-to-lay.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { Choice } from '../controls/choice.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { engine } from '../engine.ts';
import { EdgePart } from '../fold-check/edge-part.tsx';
import { foldLimitMm } from '../fold-check/fold-limit.ts';
import type { EdgeOffset } from '../fold-check/offsets.ts';
import { type Ask, useJobResult } from '../job-result.ts';
import { runJob } from '../jobs.ts';
import { PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { ACCEPT_JOB, AcceptPart } from './accept-part.tsx';
import { refitWhy } from './change-words.ts';
import { ComparedPart } from './compared-part.tsx';
import type { LaidChoice } from './laid.ts';
import { RefitTable } from './refit-table.tsx';
import { SeamsPart, useSeamSlips } from './seams-part.tsx';
import { VerdictPart } from './verdict-part.tsx';

const LAY_JOB = 'refit';

/** What the laid piece is: a mock-up whose trimming is taken over, or something cut or printed that is to match. */
type Purpose = 'mock-up' | 'cut-piece' | 'print';

const PURPOSES: readonly { readonly id: Purpose; readonly words: string }[] = [
  { id: 'mock-up', words: 'Mock-up' },
  { id: 'cut-piece', words: 'Cut piece' },
  { id: 'print', words: 'Print' },
];

interface LaidOnPieceProps {
  readonly piece: Piece;
  readonly base: Revision;
  readonly laid: LaidChoice;
  readonly lead: string;
  readonly pickers: ReactNode;
  readonly revisions: ReactNode;
  readonly onDone: () => void;
}

/** A traced piece, or another revision, laid on a revision of the piece. */
export function LaidOnPiece({ piece, base, laid, lead, pickers, revisions, onDone }: LaidOnPieceProps) {
  const limitMm = useBuild(foldLimitMm);
  const [purpose, setPurpose] = useState<Purpose>('mock-up');
  const [way, setWay] = useState<WayToLay | undefined>(undefined);
  const [at, setAt] = useState<number | undefined>(undefined);
  const [oldLines, newLines] = [base.lines, laid.revision.lines];
  const inPlace = laid.piece === undefined;
  const ask = useMemo<Ask<RevisionComparison>>(
    () => (call) =>
      engine.compareRevisions(
        { oldLines, newLines, options: { limitMm, inPlace, ...(way && { way }) } },
        call,
      ),
    [oldLines, newLines, limitMm, inPlace, way],
  );
  const { value, isStale, again } = useJobResult(LAY_JOB, 'Laying it on the piece', ask);
  const comparison = value && !isStale ? value : undefined;
  /** Ways of the first laying; a chosen one is all that a later comparison tells. */
  const [ways, setWays] = useState<readonly WayToLay[]>([]);
  if (value && !way && value.ways !== ways) setWays(value.ways);
  const offsets = useMemo(() => (value ? edgeOffsets(value.lines) : []), [value]);
  const slips = useSeamSlips(purpose === 'print' ? piece : undefined, oldLines, newLines, comparison);
  const accept = async (accepted: readonly string[] | undefined) => {
    if (!comparison || !laid.piece) return;
    const lines = await runJob(ACCEPT_JOB, 'Taking over the edge', (progress, signal) =>
      engine.acceptRefit(
        { oldLines, newLines, comparison, ...(accepted && { accepted }) },
        { progress, signal },
      ),
    );
    if (!lines) return;
    const taken = comparison.stretches.filter(({ id }) => !accepted || accepted.includes(id));
    const why = refitWhy(taken, laid.piece.name);
    const mockUpId = laid.piece.id;
    change(`Refit ${piece.name}`, (build) =>
      acceptMockUp(build, { pieceId: piece.id, mockUpId, lines, why, stamp: newStamp() }),
    );
    onDone();
  };
  const canAccept = purpose === 'mock-up' && laid.piece !== undefined;
  return (
    <StageFrame
      title="Refit"
      lead={lead}
      table={
        <RefitTable
          pieceId={piece.id}
          label={`${laid.words}, laid on ${piece.name}`}
          lines={oldLines}
          laidLines={newLines}
          comparison={comparison}
          slips={slips ?? []}
          offsets={offsets}
          pointed={at === undefined ? undefined : offsets[at]}
          onPoint={setAt}
        />
      }
    >
      <PanelPart>
        {pickers}
        {laid.piece && (
          <Choice label="What lies on it" options={PURPOSES} value={purpose} onChange={setPurpose} />
        )}
        <JobStatus jobKey={LAY_JOB} onTryAgain={again} />
        {value &&
          (purpose === 'mock-up' ? (
            <ComparedPart comparison={value} isStale={isStale} />
          ) : (
            <VerdictPart comparison={value} isStale={isStale} isPrint={purpose === 'print'} />
          ))}
      </PanelPart>
      {purpose === 'print' && <SeamsPart slips={slips} limitMm={limitMm} />}
      {canAccept && comparison && <AcceptPart comparison={comparison} onAccept={accept} />}
      {value && (
        <EdgePart offsets={offsets} limitMm={limitMm} at={at} onPoint={setAt} laidName="the new edge" />
      )}
      <WaysPart ways={ways} way={way} onWay={setWay} ambiguity={value?.ambiguity} />
      {revisions}
    </StageFrame>
  );
}

/** The old edges in order with what was laid on them, for the strip along the edge. */
function edgeOffsets(lines: readonly ComparedLine[]): EdgeOffset[] {
  let begunMm = 0;
  return lines.flatMap(({ samples, lengthMm }) => {
    const startMm = begunMm;
    begunMm += lengthMm;
    return samples.map(
      ({ alongMm, deviationMm, point, match }, i): EdgeOffset => ({
        alongMm: startMm + alongMm,
        // Told of the old edge: outside the new one means that the new one falls short.
        offsetMm: -deviationMm,
        from: point,
        to: match,
        isStart: i === 0,
      }),
    );
  });
}

interface WaysPartProps {
  readonly ways: readonly WayToLay[];
  readonly way: WayToLay | undefined;
  readonly onWay: (way: WayToLay | undefined) => void;
  readonly ambiguity: string | undefined;
}

/** Other ways to lay it, for pieces that fit on themselves. */
function WaysPart({ ways, way, onWay, ambiguity }: WaysPartProps) {
  if (ways.length < 2) return null;
  const inForce = way ?? ways[0];
  return (
    <PanelPart title="How it lies">
      {ambiguity !== undefined && <p className="small">{ambiguity}</p>}
      <fieldset className="pick-list">
        <legend className="field-label">Ways to lay it</legend>
        {ways.slice(0, MOST_WAYS).map((one, index) => (
          <label key={index} className="pick">
            <input
              type="radio"
              name="way-to-lay"
              checked={one === inForce}
              onChange={() => onWay(index === 0 ? undefined : one)}
            />
            <span>
              {one.motion.mirrored ? 'Turned over' : 'This side up'}
              <span className="small quiet">
                <br />
                {Math.round(100 * one.agreeingShare)} % of the edge within 1 mm
              </span>
            </span>
          </label>
        ))}
      </fieldset>
    </PanelPart>
  );
}

const MOST_WAYS = 6;
