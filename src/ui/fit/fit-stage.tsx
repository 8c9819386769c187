import { useCallback, useMemo, useState } from 'react';
import { fitPieces } from '../../build/commands/fit-pieces.ts';
import { setWrap } from '../../build/commands/pieces.ts';
import { chosenWearer, lastRevision } from '../../build/lookups.ts';
import type { Build, Piece } from '../../build/types.ts';
import { needOf, type WrapInForce, wrapInForce } from '../../build/wrap-in-force.ts';
import { type FitPlan, fitPlan } from '../../fit/fit-plan.ts';
import { cutLineOf, type FitMode } from '../../fit/scale-piece.ts';
import type { WrapNeed } from '../../fit/wrap-length.ts';
import { measureWrapMm } from '../../fit/wrap-line.ts';
import type { Path } from '../../geometry/path.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { mmWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';
import '../look/making.css';
import { PiecePicker } from '../piece-picker.tsx';
import { usePickedPiece } from '../picked.ts';
import { PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { useWorkedOut } from '../worked-out.ts';
import { ChangePart } from './change-part.tsx';
import { FitCautions } from './fit-cautions.tsx';
import { LEAD, NoOutline, NothingToFit } from './fit-empty.tsx';
import { FitNumbers } from './fit-numbers.tsx';
import { FITS_WITHIN_MM } from './fit-state.ts';
import { FitTable, type FitView } from './fit-table.tsx';
import { FoamPart } from './foam-part.tsx';
import { RoundPart } from './round-part.tsx';
import { WearerPart } from './wearer-part.tsx';
import { WrapPart } from './wrap-part.tsx';

export function FitStage() {
  const piece = usePickedPiece();
  const build = useBuild((build) => build);
  const inForce = useMemo(() => piece && wrapInForce(build, piece), [build, piece]);
  if (!piece) return <NothingToFit />;
  const outline = cutLineOf(lastRevision(piece).lines);
  if (!inForce || !outline) return <NoOutline piece={piece} />;
  return <PieceFitted key={piece.id} piece={piece} wrap={inForce} outline={outline} />;
}

interface PieceFittedProps {
  readonly piece: Piece;
  readonly wrap: WrapInForce;
  readonly outline: Path;
}

function PieceFitted({ piece, wrap, outline }: PieceFittedProps) {
  const build = useBuild((build) => build);
  const { lines, toleranceMm } = lastRevision(piece);
  const [mode, setMode] = useState<FitMode>('along-wrap');
  const [view, setView] = useState<FitView>('now');
  const need = useNeed(build, piece, wrap);
  const { line, hold } = wrap;
  const work = useCallback(() => fitPlan(lines, line, need, mode, hold), [lines, line, need, mode, hold]);
  const { value: outcome, isStale } = useWorkedOut(work);
  const plan = outcome?.ok ? outcome.value : undefined;
  const isOff = plan !== undefined && Math.abs(plan.differenceMm) > FITS_WITHIN_MM;

  const keep = (words: string, changed: Partial<WrapInForce>) =>
    change(words, (build) => setWrap(build, { pieceId: piece.id, wrap: { ...wrap, ...changed } }));
  const accept = (plan: FitPlan) => {
    const wearer = chosenWearer(build);
    change(`Fit ${piece.name}`, (build) =>
      fitPieces(build, {
        stamp: newStamp(),
        why: `fitted to ${wearer.name}, ${mmWords(wearer.girthMm, 0)} mm`,
        fits: [{ pieceId: piece.id, plan, mode }],
      }),
    );
    setView('now');
  };
  const now = useMemo(
    () => ({ lines, wrapLine: line, wrapMm: measureWrapMm(outline, line) }),
    [lines, line, outline],
  );
  const fitted = useMemo(
    () =>
      plan && isOff ? { lines: plan.lines, wrapLine: plan.wrapLine, wrapMm: plan.after.wrapMm } : undefined,
    [plan, isOff],
  );
  return (
    <StageFrame
      title="Fit"
      lead={LEAD}
      table={
        <FitTable
          pieceId={piece.id}
          pieceName={piece.name}
          outline={outline}
          now={now}
          fitted={fitted}
          wrap={wrap}
          view={view}
          onView={setView}
        />
      }
    >
      <PanelPart>
        <PiecePicker />
        {plan && <FitNumbers plan={plan} toleranceMm={toleranceMm} isStale={isStale} />}
        {outcome?.ok === false && (
          <Notice tone="wrong">
            <p>{outcome.problem.message}</p>
          </Notice>
        )}
      </PanelPart>
      {plan && isOff && (
        <ChangePart
          plan={plan}
          isStale={isStale}
          mode={mode}
          onMode={setMode}
          onAccept={() => accept(plan)}
        />
      )}
      <WearerPart />
      <FoamPart piece={piece} coverageRad={wrap.coverageRad} />
      <RoundPart
        need={need}
        onCoverage={(coverageRad) => keep('How far round the head', { coverageRad })}
        onEase={(easeMm) => keep('Ease', { easeMm })}
      />
      <WrapPart
        line={wrap.line}
        isKept={piece.wrap?.line !== undefined}
        onLine={(words, line) => keep(words, { line })}
        onForget={() =>
          change('Forget wrap line', (build) => setWrap(build, { pieceId: piece.id, wrap: undefined }))
        }
      />
      <PanelPart>
        <FitCautions notes={plan?.notes ?? []} />
      </PanelPart>
    </StageFrame>
  );
}

/** What the piece has to reach round; the same object as long as none of it changes. */
function useNeed(build: Build, piece: Piece, wrap: WrapInForce): WrapNeed {
  const { girthMm, easeMm, coverageRad, foam, underMm = 0 } = needOf(build, piece, wrap);
  return useMemo(
    () => ({ girthMm, easeMm, coverageRad, foam, underMm }),
    [girthMm, easeMm, coverageRad, foam, underMm],
  );
}
