import { useCallback, useMemo, useState } from 'react';
import { fitPieces } from '../../build/commands/fit-pieces.ts';
import { isNobodyYet } from '../../build/commands/new-build.ts';
import { setWrap } from '../../build/commands/pieces.ts';
import { type GoingRound, goingRound, laidRound } from '../../build/going-round.ts';
import { chosenWearer, lastRevision } from '../../build/lookups.ts';
import type { Build, Piece } from '../../build/types.ts';
import { needOf, type WrapInForce, wrapInForce } from '../../build/wrap-in-force.ts';
import { type FitPlan, fitPlan } from '../../fit/fit-plan.ts';
import type { Hold } from '../../fit/holding.ts';
import { cutLineOf, type FitMode } from '../../fit/scale-piece.ts';
import { wrapDoubtMm, wrapLengthMm, type WrapNeed } from '../../fit/wrap-length.ts';
import { measureWrapMm } from '../../fit/wrap-line.ts';
import type { Path } from '../../geometry/path.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { mmWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';
import '../look/fit.css';
import '../look/making.css';
import { PiecePicker } from '../piece-picker.tsx';
import { usePickedPiece } from '../picked.ts';
import { PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { useWorkedOut } from '../worked-out.ts';
import { AboveTable } from './above-table.tsx';
import { ChangePart } from './change-part.tsx';
import { FitCautions } from './fit-cautions.tsx';
import { LEAD, NoOutline, NothingToFit } from './fit-empty.tsx';
import { FitNumbers } from './fit-numbers.tsx';
import { FITS_WITHIN_MM } from './fit-state.ts';
import { FitTable, type FitView } from './fit-table.tsx';
import { FoamPart } from './foam-part.tsx';
import { HoldingPart } from './holding-part.tsx';
import { RoundPart } from './round-part.tsx';
import { TogetherPart } from './together-part.tsx';
import { WearerPart } from './wearer-part.tsx';
import { WorkParts, WorkTable } from './work/work-parts.tsx';
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
  const wearer = chosenWearer(build);
  const { line, hold } = wrap;
  const going = useMemo(() => goingRound(build, piece), [build, piece]);
  const laid = useMemo(() => laidRound(build, going), [build, going]);
  const work = useCallback(() => fitPlan(lines, line, need, mode, hold), [lines, line, need, mode, hold]);
  const { value: outcome, isStale } = useWorkedOut(work);
  const plan = outcome?.ok ? outcome.value : undefined;
  const isOff = plan !== undefined && Math.abs(plan.differenceMm) > FITS_WITHIN_MM;

  const keep = (words: string, changed: Partial<WrapInForce>) =>
    change(words, (build) => setWrap(build, { pieceId: piece.id, wrap: { ...wrap, ...changed } }));
  const accept = (plan: FitPlan) => {
    change(`Fit ${piece.name}`, (build) =>
      fitPieces(build, {
        stamp: newStamp(),
        why: fittedTo(build),
        fits: [{ pieceId: piece.id, plan, mode }],
      }),
    );
    setView('now');
  };
  const isAnyOff = going.places.some(
    ({ wantedMm, patternMm }) => Math.abs(wantedMm - patternMm) > FITS_WITHIN_MM,
  );
  const fitAll = isAnyOff
    ? () => change('Fit all round', (build) => allFitted(build, going, mode))
    : undefined;
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
        <WorkTable
          piece={piece}
          wrap={wrap}
          outline={outline}
          otherwise={
            view === 'above' ? (
              <AboveTable going={going} laid={laid} hasFitted={fitted !== undefined} onView={setView} />
            ) : (
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
            )
          }
        />
      }
    >
      <PanelPart>
        <PiecePicker />
        {plan && (
          <FitNumbers plan={plan} toleranceMm={toleranceMm} doubtMm={wrapDoubtMm(need)} isStale={isStale} />
        )}
        {isNobodyYet(wearer) && (
          <Notice tone="look">
            <p>
              No head has been measured yet: {mmWords(wearer.girthMm, 0)} mm is the middle of all adults. Type
              in your wearer’s girth below before you cut, or their name if it is right.
            </p>
          </Notice>
        )}
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
      <FoamPart piece={piece} wrap={wrap} need={need} />
      <HoldingPart
        girthMm={need.girthMm}
        easeMm={need.easeMm}
        hold={hold}
        pieceCount={going.places.length}
        onChange={(words, holding) => change(words, (build) => heldOn(build, going, holding))}
      />
      <RoundPart
        coverageRad={need.coverageRad}
        going={going}
        laid={laid}
        onCoverage={(coverageRad) => keep('How far round the head', { coverageRad })}
      />
      <TogetherPart piece={piece} going={going} laid={laid} onFitAll={fitAll} />
      <WrapPart
        line={wrap.line}
        isKept={piece.wrap?.line !== undefined}
        onLine={(words, line) => keep(words, { line })}
        onForget={() =>
          change('Forget wrap line', (build) => setWrap(build, { pieceId: piece.id, wrap: undefined }))
        }
      />
      <WorkParts piece={piece} wrap={wrap} wantedWrapMm={wrapLengthMm(need)} />
      <PanelPart>
        <FitCautions notes={plan?.notes ?? []} />
      </PanelPart>
    </StageFrame>
  );
}

/** The same ease and the same way of holding on for all pieces that go round together. */
function heldOn(
  build: Build,
  { places }: GoingRound,
  { hold, easeMm }: { readonly hold?: Hold; readonly easeMm: number },
): Build {
  return places.reduce(
    (held, { piece, wrap }) =>
      setWrap(held, { pieceId: piece.id, wrap: { ...wrap, ...(hold && { hold }), easeMm } }),
    build,
  );
}

/** Every piece of a round brought to its own share; a piece in two places is one pattern. */
function allFitted(build: Build, { places }: GoingRound, mode: FitMode): Build {
  const once = places.filter(({ piece }, i) => places.findIndex((each) => each.piece.id === piece.id) === i);
  const fits = once.flatMap(({ piece, wrap, need }) => {
    const outcome = fitPlan(lastRevision(piece).lines, wrap.line, need, mode, wrap.hold);
    return outcome.ok ? [{ pieceId: piece.id, plan: outcome.value, mode }] : [];
  });
  return fitPieces(build, { stamp: newStamp(), why: fittedTo(build), fits });
}

function fittedTo(build: Build): string {
  const { name, girthMm } = chosenWearer(build);
  return `fitted to ${name}, ${mmWords(girthMm, 0)} mm`;
}

/** What the piece has to reach round; the same object as long as none of it changes. */
function useNeed(build: Build, piece: Piece, wrap: WrapInForce): WrapNeed {
  const { girthMm, easeMm, coverageRad, foam, underMm = 0 } = needOf(build, piece, wrap);
  return useMemo(
    () => ({ girthMm, easeMm, coverageRad, foam, underMm }),
    [girthMm, easeMm, coverageRad, foam, underMm],
  );
}
