import { Check, Plus, Trash2 } from 'lucide-react';
import { addRevision } from '../../../build/commands/pieces.ts';
import { carrySeams, setExtra } from '../../../build/commands/seams.ts';
import { LIMITS } from '../../../build/limits.ts';
import { lastRevision } from '../../../build/lookups.ts';
import type { Piece } from '../../../build/types.ts';
import type { WrapInForce } from '../../../build/wrap-in-force.ts';
import type { SpreadPiece } from '../../../fit/spread/spread-piece.ts';
import { spreadToWrap } from '../../../fit/spread/spread-to-wrap.ts';
import { mix, minus, plus, quarterLeft, times, unit } from '../../../geometry/vector.ts';
import { change, newStamp, useBuild } from '../../bench.ts';
import { ActionButton } from '../../controls/action-button.tsx';
import { MmField } from '../../controls/mm-field.tsx';
import { More } from '../../controls/more.tsx';
import { Notice } from '../../controls/notice.tsx';
import { mmWords, percentWords } from '../../controls/number-words.ts';
import { PickFrom } from '../../controls/pick-from.tsx';
import { Tick } from '../../controls/tick.tsx';
import { BeforeAfter } from '../before-after.tsx';
import { EndFields } from '../end-fields.tsx';
import { useSpread } from './use-spread.ts';
import { changeSlash, type DrawnSlash, setSlashes, useWork, work } from './work-store.ts';

interface LongerPartProps {
  readonly piece: Piece;
  readonly wrap: WrapInForce;
  readonly wantedWrapMm: number;
}

const FIRST_OPENING_MM = 5;

/** Slash and spread: lines across the piece at which it opens. */
export function LongerPart({ piece, wrap, wantedWrapMm }: LongerPartProps) {
  const { slashes, options, outcome, isStale } = useSpread(piece, wrap);
  const isDrawing = useWork(({ drawing }) => drawing !== undefined);
  const spread = outcome?.ok ? outcome.value : undefined;
  const problem = outcome?.ok === false ? outcome.problem : undefined;
  const { lines } = lastRevision(piece);
  const toWanted = () => {
    const found = spreadToWrap(lines, wrap.line, slashes, wantedWrapMm, options);
    if (!found.ok) return;
    setSlashes(
      piece.id,
      slashes.map((slash, i) => ({ ...slash, openingMm: found.value.slashes[i]!.openingMm })),
    );
  };
  return (
    <>
      <p className="small quiet">
        The piece is cut open at lines across it, like paper: eyes and ornaments keep their shape, and only
        the lines give way. Below 0 the sides lap and it becomes shorter.
      </p>
      <div className="row">
        <ActionButton icon={Plus} onPress={() => work.setState({ drawing: isDrawing ? undefined : 'first' })}>
          {isDrawing ? 'Stop drawing' : 'Draw a line'}
        </ActionButton>
        <ActionButton
          icon={Plus}
          onPress={() => setSlashes(piece.id, [...slashes, acrossWrap(wrap, slashes.length)])}
        >
          Add one across the wrap line
        </ActionButton>
      </div>
      {isDrawing && (
        <Notice tone="plain" isNews>
          <p>Tap where the line begins, then where it ends: from edge to edge.</p>
        </Notice>
      )}
      {slashes.map((slash, index) => (
        <SlashFields key={slash.id} pieceId={piece.id} slash={slash} index={index} all={slashes} />
      ))}
      {slashes.length > 0 && (
        <>
          <div className="row">
            <ActionButton onPress={toWanted}>{`Open to ${mmWords(wantedWrapMm)} mm round`}</ActionButton>
          </div>
          <KeptOpenings piece={piece} />
          {problem && (
            <Notice tone="wrong">
              <p>{problem.message}</p>
            </Notice>
          )}
          {spread && <SpreadFigures spread={spread} isStale={isStale} />}
          <ActionButton
            kind="main"
            wide
            icon={Check}
            isDisabled={!spread || isStale}
            onPress={() => spread && accept(piece, wrap, spread)}
          >
            Accept the opened piece
          </ActionButton>
        </>
      )}
      <ExtraField piece={piece} />
    </>
  );
}

/** A line across the wrap line: the first in its middle, later ones beside it in turn. */
function acrossWrap({ line }: WrapInForce, count: number): DrawnSlash {
  const step = Math.ceil(count / 2) * (count % 2 === 0 ? 1 : -1);
  const share = Math.min(0.95, Math.max(0.05, 0.5 + 0.11 * step));
  const at = mix(line.from, line.to, share);
  const along = unit(minus(line.to, line.from)) ?? { x: 1, y: 0 };
  const aside = times(quarterLeft(along), 1000);
  return {
    id: newStamp().id,
    from: minus(at, aside),
    to: plus(at, aside),
    openingMm: FIRST_OPENING_MM,
    opens: 'parallel',
  };
}

const WAYS = [
  { id: 'parallel', words: 'Opens all along' },
  { id: 'hinged-from', words: 'Hinged at its first end' },
  { id: 'hinged-to', words: 'Hinged at its second end' },
] as const;

function SlashFields({
  pieceId,
  slash,
  index,
  all,
}: {
  readonly pieceId: string;
  readonly slash: DrawnSlash;
  readonly index: number;
  readonly all: readonly DrawnSlash[];
}) {
  return (
    <fieldset className="work-item">
      <legend>Line {index + 1}</legend>
      <div className="field-rows">
        <MmField
          label={`Line ${index + 1} opens by`}
          min={-60}
          max={150}
          value={Math.round(slash.openingMm * 10) / 10}
          onChange={(openingMm) => {
            if (Math.abs(openingMm - slash.openingMm) > 0.05) changeSlash(pieceId, slash.id, { openingMm });
          }}
        />
      </div>
      <PickFrom
        label={`How line ${index + 1} opens`}
        options={WAYS}
        value={slash.opens}
        onChange={(opens) => changeSlash(pieceId, slash.id, { opens })}
      />
      <More title="Place its ends by number">
        <EndFields line={slash} onMove={(end, place) => changeSlash(pieceId, slash.id, { [end]: place })} />
      </More>
      <div className="row">
        <ActionButton
          kind="quiet"
          icon={Trash2}
          onPress={() =>
            setSlashes(
              pieceId,
              all.filter(({ id }) => id !== slash.id),
            )
          }
        >
          {`Remove line ${index + 1}`}
        </ActionButton>
      </div>
    </fieldset>
  );
}

/** Which openings stay as they are, moving as a whole. */
function KeptOpenings({ piece }: { readonly piece: Piece }) {
  const openedIds = useWork((work) => work.openedIds);
  const openings = lastRevision(piece).lines.filter(({ kind }) => kind === 'cutout');
  if (openings.length === 0) return null;
  return (
    <div className="stack">
      {openings.map(({ id }, index) => (
        <Tick
          key={id}
          isOn={!openedIds.has(id)}
          onChange={(isKept) => {
            const next = new Set(openedIds);
            if (isKept) next.delete(id);
            else next.add(id);
            work.setState({ openedIds: next });
          }}
        >
          {openings.length === 1 ? 'Keep the opening as it is' : `Keep opening ${index + 1} as it is`}
        </Tick>
      ))}
    </div>
  );
}

function SpreadFigures({ spread, isStale }: { readonly spread: SpreadPiece; readonly isStale: boolean }) {
  const reachMm = useWork((work) => work.reachMm);
  const most = Math.max(spread.largestStretch, -spread.largestSqueeze);
  return (
    <>
      <BeforeAfter before={spread.before} after={spread.after} isStale={isStale} words="opened" />
      <p className="small quiet">
        The parts move as they are; only edges that cross a line are evened out. Largest local{' '}
        {spread.largestStretch >= -spread.largestSqueeze ? 'stretch' : 'squeeze'} there:{' '}
        <strong>{percentWords(most, 1)}</strong>. The openings themselves add{' '}
        {mmWords(spread.openedMm2 / 100)} cm².
      </p>
      <More title="How gently edges are evened out">
        <MmField
          label="Evened out to either side over"
          min={2}
          max={300}
          digits={0}
          value={reachMm}
          help="Left empty: four times the opening. Longer is gentler, and reaches further."
          onChange={(mm) => work.setState({ reachMm: mm })}
        />
      </More>
    </>
  );
}

function accept(piece: Piece, wrap: WrapInForce, spread: SpreadPiece): void {
  const grownMm = spread.after.wrapMm - spread.before.wrapMm;
  change(`Open ${piece.name} at lines`, (build) =>
    addRevision(carrySeams(build, { pieceId: piece.id, move: spread.move }), {
      pieceId: piece.id,
      stamp: newStamp(),
      lines: spread.lines,
      why: `${grownMm >= 0 ? 'opened' : 'lapped'} at lines, ${mmWords(Math.abs(grownMm))} mm round`,
      wrap: { ...wrap, line: spread.wrapLine },
      leavesPhoto: true,
    }),
  );
  setSlashes(piece.id, []);
}

/** The strip left on outside the cut line. */
function ExtraField({ piece }: { readonly piece: Piece }) {
  const widthMm = useBuild(
    (build) => build.extras?.find(({ pieceId }) => pieceId === piece.id)?.widthMm ?? 0,
  );
  return (
    <MmField
      label="Extra outside the cut line, to trim after trying on"
      min={0}
      max={LIMITS.extraMm.max}
      digits={0}
      value={widthMm}
      onChange={(mm) =>
        change(`Extra strip on ${piece.name}`, (build) => setExtra(build, { pieceId: piece.id, widthMm: mm }))
      }
    />
  );
}
