import { useCallback, useMemo, useState } from 'react';
import { addRevision, setWrap } from '../../build/commands/pieces.ts';
import { chosenWearer, lastRevision } from '../../build/lookups.ts';
import type { Build, FoldAxis, Piece } from '../../build/types.ts';
import { type FitPlan, fitPlan } from '../../fit/fit-plan.ts';
import { cutLineOf, type FitMode } from '../../fit/scale-piece.ts';
import { stretcher } from '../../fit/resize.ts';
import type { WrapNeed } from '../../fit/wrap-length.ts';
import { measureWrapMm, wrapAngleRad, type WrapLine } from '../../fit/wrap-line.ts';
import type { Path } from '../../geometry/path.ts';
import { midpoint } from '../../geometry/point.ts';
import { directionOf, minus, plus } from '../../geometry/vector.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { Measure } from '../controls/measure.tsx';
import { More } from '../controls/more.tsx';
import { mmWords } from '../controls/number-words.ts';
import { Notice } from '../controls/notice.tsx';
import { goToStage } from '../desk.ts';
import { FittingDrawing } from '../drawings/stage-drawings.tsx';
import '../look/making.css';
import { PiecePicker } from '../piece-picker.tsx';
import { usePickedPiece } from '../picked.ts';
import { BareTable, PanelPart, StageFrame } from '../shell/stage-frame.tsx';
import { useWorkedOut } from '../worked-out.ts';
import { ChangePart } from './change-part.tsx';
import { FITS_WITHIN_MM } from './fit-state.ts';
import { FitTable, type FitView } from './fit-table.tsx';
import { FoamPart } from './foam-part.tsx';
import { RoundPart } from './round-part.tsx';
import { WearerPart } from './wearer-part.tsx';
import { needOf, type WrapInForce, wrapInForce } from './wrap-in-force.ts';
import { WrapPart } from './wrap-part.tsx';

const LEAD = 'The piece against the head and the foam that it goes round.';

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
  const { line } = wrap;
  const work = useCallback(() => fitPlan(lines, line, need, mode), [lines, line, need, mode]);
  const { value: outcome, isStale } = useWorkedOut(work);
  const plan = outcome?.ok ? outcome.value : undefined;
  const isOff = plan !== undefined && Math.abs(plan.differenceMm) > FITS_WITHIN_MM;

  const keep = (words: string, changed: Partial<WrapInForce>) =>
    change(words, (build) => setWrap(build, { pieceId: piece.id, wrap: { ...wrap, ...changed } }));
  const accept = (plan: FitPlan) => {
    const wearer = chosenWearer(build);
    change(`Fit ${piece.name}`, (build) =>
      addRevision(build, {
        pieceId: piece.id,
        stamp: newStamp(),
        lines: plan.lines,
        why: `fitted to ${wearer.name}, ${mmWords(wearer.girthMm, 0)} mm`,
        wrap: { ...wrap, line: plan.wrapLine },
        ...(piece.axis && { axis: movedAxis(piece.axis, wrap.line, plan.factor, mode) }),
        leavesPhoto: true,
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
  const { girthMm, easeMm, coverageRad, foam } = needOf(build, piece, wrap);
  return useMemo(() => ({ girthMm, easeMm, coverageRad, foam }), [girthMm, easeMm, coverageRad, foam]);
}

/** The fold axis carried along with the resized piece. */
function movedAxis(axis: FoldAxis, line: WrapLine, factor: number, mode: FitMode): FoldAxis {
  const move = stretcher({
    about: midpoint(line.from, line.to),
    alongRad: wrapAngleRad(line),
    alongFactor: factor,
    acrossFactor: mode === 'whole' ? factor : 1,
  });
  const point = move(axis.point);
  const ahead = minus(move(plus(axis.point, directionOf(axis.angleRad))), point);
  return { ...axis, point, angleRad: Math.atan2(ahead.y, ahead.x) };
}

function FitNumbers({
  plan,
  toleranceMm,
  isStale,
}: {
  readonly plan: FitPlan;
  readonly isStale: boolean;
  readonly toleranceMm: number | undefined;
}) {
  const { wantedWrapMm, differenceMm, before } = plan;
  return (
    <div className={`stack${isStale ? ' is-stale' : ''}`}>
      <div className="two-up two-measures">
        <Measure label="Wanted" valueMm={wantedWrapMm} />
        <Measure
          label="This pattern"
          valueMm={before.wrapMm}
          {...(toleranceMm !== undefined && { toleranceMm })}
        />
      </div>
      {Math.abs(differenceMm) <= FITS_WITHIN_MM ? (
        <Notice tone="good">
          <p>It fits: {mmWords(Math.abs(differenceMm))} mm apart, closer than foam is cut by hand.</p>
        </Notice>
      ) : (
        <Notice tone="look">
          <p>
            The pattern is{' '}
            <strong>
              {mmWords(Math.abs(differenceMm))} mm {differenceMm > 0 ? 'too short' : 'too long'}
            </strong>
            .
          </p>
        </Notice>
      )}
    </div>
  );
}

function FitCautions({ notes }: { readonly notes: readonly string[] }) {
  return (
    <More title="What to mind" isOpenAtFirst={notes.length > 1}>
      <ul className="steps">
        {notes.map((note) => (
          <li key={note}>{note}</li>
        ))}
        <li>
          A tight band can bring on a headache within the hour; it goes within an hour of taking the band off.
          Add ease when it presses.
        </li>
        <li>
          See and hear before you walk: try the sight lines sitting down, leave the ears free near traffic and
          in crowds, and have somebody lead you where you cannot see your feet.
        </li>
        <li>This is costume: it gives no protection against blows.</li>
      </ul>
    </More>
  );
}

function NoOutline({ piece }: { readonly piece: Piece }) {
  return (
    <StageFrame
      title="Fit"
      lead={LEAD}
      table={
        <BareTable drawing={<FittingDrawing />} title={`${piece.name} has no closed edge`}>
          <p>Only a piece with a closed cut line can be fitted. Trace it again, or choose another piece.</p>
        </BareTable>
      }
    >
      <PanelPart>
        <PiecePicker />
      </PanelPart>
    </StageFrame>
  );
}

function NothingToFit() {
  return (
    <StageFrame
      title="Fit"
      lead={LEAD}
      table={
        <BareTable drawing={<FittingDrawing />} title="How long must the piece be?">
          <p>
            Measure the head with a tape and say how thick the foam is: the length that goes round both is
            worked out, and the piece is brought to it. Photograph a mock-up first.
          </p>
          <ActionButton kind="main" onPress={() => goToStage('capture')}>
            Go to Capture
          </ActionButton>
        </BareTable>
      }
    >
      <WearerPart />
    </StageFrame>
  );
}
