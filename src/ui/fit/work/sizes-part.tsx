import { useMemo } from 'react';
import { setSizeRange } from '../../../build/commands/seams.ts';
import { LIMITS } from '../../../build/limits.ts';
import type { SizeHeads, SizeRange } from '../../../build/seam-types.ts';
import { sizesOfPiece } from '../../../build/sizes-in-force.ts';
import type { Piece } from '../../../build/types.ts';
import { sizeDashWords } from '../../../fit/range/dash-codes.ts';
import { foamOf } from '../../../build/lookups.ts';
import { change, useBuild } from '../../bench.ts';
import { ActionButton } from '../../controls/action-button.tsx';
import { Choice } from '../../controls/choice.tsx';
import { MmField } from '../../controls/mm-field.tsx';
import { Notice } from '../../controls/notice.tsx';
import { mmWords, percentWords } from '../../controls/number-words.ts';
import { Tick } from '../../controls/tick.tsx';
import { goToStage } from '../../desk.ts';

const STEPS: SizeHeads = { kind: 'steps', fromMm: 540, toMm: 640, stepMm: 20 };

const keep = (range: SizeRange | undefined) =>
  change('Size range', (build) => setSizeRange(build, { range }));

/** The heads that the design is cut for, and what each asks of the piece. */
export function SizesPart({ piece }: { readonly piece: Piece }) {
  const range = useBuild((build) => build.sizeRange);
  const wearers = useBuild((build) => build.wearers);
  const kind = range?.heads.kind ?? 'one';
  const mode = range?.mode ?? 'along-wrap';
  const choose = (next: 'one' | 'steps' | 'wearers') => {
    if (next === 'one') keep(undefined);
    else if (next === 'steps') keep({ heads: STEPS, mode });
    else keep({ heads: { kind: 'wearers', wearerIds: wearers.map(({ id }) => id) }, mode });
  };
  return (
    <>
      <Choice
        label="Heads that the design is cut for"
        options={[
          { id: 'one', words: 'One head' },
          { id: 'steps', words: 'In steps' },
          { id: 'wearers', words: 'Wearers' },
        ]}
        value={kind}
        onChange={choose}
      />
      {range?.heads.kind === 'steps' && <StepFields range={range} heads={range.heads} />}
      {range?.heads.kind === 'wearers' && <WearerTicks range={range} wearerIds={range.heads.wearerIds} />}
      {range && (
        <>
          <Choice
            label="What is resized from size to size"
            options={[
              { id: 'along-wrap', words: 'Along the wrap' },
              { id: 'whole', words: 'Whole piece' },
            ]}
            value={range.mode}
            onChange={(next) => keep({ ...range, mode: next })}
          />
          <SizeTable piece={piece} range={range} />
        </>
      )}
    </>
  );
}

function StepFields({
  range,
  heads,
}: {
  readonly range: SizeRange;
  readonly heads: SizeHeads & { readonly kind: 'steps' };
}) {
  const fields = [
    ['fromMm', 'Smallest head', LIMITS.girthMm],
    ['toMm', 'Largest head', LIMITS.girthMm],
    ['stepMm', 'Step', LIMITS.sizeStepMm],
  ] as const;
  return (
    <div className="field-rows">
      {fields.map(([of, label, limits]) => (
        <MmField
          key={of}
          label={label}
          {...limits}
          digits={0}
          value={heads[of]}
          onChange={(mm) => keep({ ...range, heads: { ...heads, [of]: mm } })}
        />
      ))}
    </div>
  );
}

function WearerTicks({
  range,
  wearerIds,
}: {
  readonly range: SizeRange;
  readonly wearerIds: readonly string[];
}) {
  const wearers = useBuild((build) => build.wearers);
  return wearers.map(({ id, name, girthMm }) => (
    <Tick
      key={id}
      isOn={wearerIds.includes(id)}
      onChange={(isOn) =>
        keep({
          ...range,
          heads: {
            kind: 'wearers',
            wearerIds: isOn ? [...wearerIds, id] : wearerIds.filter((each) => each !== id),
          },
        })
      }
    >
      {`${name}, ${mmWords(girthMm, 0)} mm`}
    </Tick>
  ));
}

function SizeTable({ piece, range }: { readonly piece: Piece; readonly range: SizeRange }) {
  const build = useBuild((each) => each);
  const foam = foamOf(build, piece);
  const sizes = useMemo(() => sizesOfPiece(build, piece, range), [build, piece, range]);
  const others = useMemo(
    () =>
      [2, 5, 10]
        .flatMap((mm) => build.foams.find(({ thicknessMm }) => thicknessMm === mm) ?? [])
        .filter(({ id }) => id !== foam.id)
        .slice(0, 2)
        .map((other) => ({ other, sizes: sizesOfPiece(build, piece, range, other) })),
    [build, piece, range, foam.id],
  );
  if (!sizes)
    return (
      <Notice tone="plain">
        <p>
          No wrap line is kept for {piece.name}, so it is the same in every size. Keep its wrap line above.
        </p>
      </Notice>
    );
  const troubles = sizes.flatMap(({ problem, head }) =>
    problem ? [`${head.label}: ${problem.message}`] : [],
  );
  return (
    <>
      <table className="before-after">
        <caption className="small quiet">Wrap line of {piece.name}, mm</caption>
        <thead>
          <tr>
            <th scope="col">head</th>
            <th scope="col">{foam.name}</th>
            {others.map(({ other }) => (
              <th key={other.id} scope="col">
                {other.name}
              </th>
            ))}
            <th scope="col">against now</th>
          </tr>
        </thead>
        <tbody>
          {sizes.map(({ head, plan }, index) => (
            <tr key={head.label}>
              <th scope="row">
                {head.label}
                <span className="small quiet only-read-aloud"> line: {sizeDashWords(index)}</span>
              </th>
              <td>
                <strong>{plan ? mmWords(plan.wantedWrapMm) : '–'}</strong>
              </td>
              {others.map(({ other, sizes: inOther }) => {
                const there = inOther?.[index]?.plan;
                return <td key={other.id}>{there ? mmWords(there.wantedWrapMm) : '–'}</td>;
              })}
              <td>
                {plan ? `${plan.factor >= 1 ? '+' : '−'}${percentWords(Math.abs(plan.factor - 1), 1)}` : '–'}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {troubles.map((trouble) => (
        <Notice key={trouble} tone="look">
          <p>{trouble}</p>
        </Notice>
      ))}
      <p className="small quiet">
        Nested lines: after each long dash a dot for every size above the smallest, a short dash for five.
        Check one size on a head before you cut them all.
      </p>
      <div className="row">
        <ActionButton onPress={() => goToStage('template')}>Print the sizes</ActionButton>
      </div>
    </>
  );
}
