import { Copy } from 'lucide-react';
import { useMemo, useState } from 'react';
import { includePiece, setPieceCounts } from '../../build/commands/pieces.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import type { PairCheck } from '../../mirror/check-pair.ts';
import { change, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { JobStatus } from '../controls/job-status.tsx';
import { engine } from '../engine.ts';
import { type Ask, useJobResult } from '../job-result.ts';
import { PiecePicker } from '../piece-picker.tsx';
import { PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { Against } from './against.tsx';
import { CheckFigures, LimitField } from './check-part.tsx';
import { EdgePart } from './edge-part.tsx';
import { foldLimitMm } from './fold-limit.ts';
import { type EdgeOffset, laidOffsets } from './offsets.ts';
import { PlacesPart } from './places-part.tsx';
import { PairTable } from './pair-table.tsx';

const PAIR_JOB = 'pair';
const NO_OFFSETS: readonly EdgeOffset[] = [];

interface PiecePairProps {
  readonly piece: Piece;
  readonly other: Piece;
  readonly onOther: (otherId: string | undefined) => void;
}

/** Two pieces meant as mirror images: the other one is turned over and laid on the piece. */
export function PiecePair({ piece, other, onOther }: PiecePairProps) {
  const left = lastRevision(piece).lines;
  const right = lastRevision(other).lines;
  const [leftExcused, rightExcused] = [piece.excused, other.excused];
  const limitMm = useBuild(foldLimitMm);
  const [at, setAt] = useState<number | undefined>(undefined);
  const ask = useMemo<Ask<PairCheck>>(
    () => (call) =>
      engine.checkPair(
        {
          left,
          right,
          limitMm,
          excused: {
            ...(leftExcused && { left: leftExcused }),
            ...(rightExcused && { right: rightExcused }),
          },
        },
        call,
      ),
    [left, right, limitMm, leftExcused, rightExcused],
  );
  const { value: check, isStale, again } = useJobResult(PAIR_JOB, 'Laying them on each other', ask);
  const offsets = useMemo(() => (check ? laidOffsets(check.lines) : NO_OFFSETS), [check]);
  const cutFromThis = () =>
    change(`Cut both from ${piece.name}`, (build) => {
      const counted = setPieceCounts(build, {
        pieceId: piece.id,
        mirroredCount: piece.mirroredCount + Math.max(1, other.count),
      });
      return includePiece(counted, { pieceId: other.id, included: false });
    });
  return (
    <StageFrame
      title="Fold check"
      lead="The other piece is turned over and laid on this one, as you would hold the two together."
      table={
        <PairTable
          piece={piece}
          otherName={other.name}
          left={left}
          right={right}
          check={check}
          isStale={isStale}
          offsets={offsets}
          pointed={at === undefined ? undefined : offsets[at]}
          onPoint={setAt}
        />
      }
    >
      <PanelPart>
        <PiecePicker />
        <Against pieceId={piece.id} otherId={other.id} onOther={onOther} />
        <JobStatus jobKey={PAIR_JOB} onTryAgain={again} />
        {check && (
          <CheckFigures check={check} isStale={isStale} names={{ left: piece.name, right: other.name }} />
        )}
        <LimitField />
      </PanelPart>
      {check && (
        <EdgePart offsets={offsets} limitMm={limitMm} at={at} onPoint={setAt} laidName={other.name} />
      )}
      {check && (
        <PlacesPart
          pieceOf={(half) =>
            half === 'left' ? { id: piece.id, lines: left } : { id: other.id, lines: right }
          }
          names={{ left: piece.name, right: other.name }}
          check={check}
        />
      )}
      {check && (
        <PanelPart title="Make the pair alike" icon={Copy}>
          <p className="small quiet">
            Cut both from {piece.name}: it is printed once more, mirrored, and {other.name} is left out.
          </p>
          <ActionButton onPress={cutFromThis}>{`Cut both from ${piece.name}`}</ActionButton>
        </PanelPart>
      )}
    </StageFrame>
  );
}
