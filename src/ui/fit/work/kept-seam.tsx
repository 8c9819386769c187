import { Trash2 } from 'lucide-react';
import { useMemo, useState } from 'react';
import { addRevision } from '../../../build/commands/pieces.ts';
import { carrySeams, changeSeam, removeSeam } from '../../../build/commands/seams.ts';
import { LIMITS } from '../../../build/limits.ts';
import type { SeamInForce } from '../../../build/seam-lookups.ts';
import { lastRevision } from '../../../build/lookups.ts';
import type { Build } from '../../../build/types.ts';
import { bevelRad } from '../../../fit/seams/bevel.ts';
import { type TrueHow, type TruedSeam, type TruedSide, trueSeam } from '../../../fit/seams/true-seam.ts';
import { type SeamWalk, walkSeam } from '../../../fit/seams/walk-seam.ts';
import type { Path } from '../../../geometry/path.ts';
import { change, newStamp } from '../../bench.ts';
import { ActionButton } from '../../controls/action-button.tsx';
import { Choice } from '../../controls/choice.tsx';
import { Figures } from '../../controls/figures.tsx';
import { MmField } from '../../controls/mm-field.tsx';
import { More } from '../../controls/more.tsx';
import { Notice } from '../../controls/notice.tsx';
import { degreeWords, mmWords } from '../../controls/number-words.ts';

/** Edges this near to one length are one seam: closer than foam is cut by hand. */
const MEETS_WITHIN_MM = 1;

/** A seam of the build: how its edges meet, and what to do about it. */
export function KeptSeam({ inForce }: { readonly inForce: SeamInForce }) {
  const { seam, a, b } = inForce;
  const walk = useMemo(() => walkSeam(a, b, seam.facing), [a, b, seam.facing]);
  const [trouble, setTrouble] = useState<string | undefined>(undefined);
  const onePiece = a.piece.id === b.piece.id;
  const trueTo = (how: TrueHow) => {
    const outcome = trueSeam(a, b, seam.facing, how, onePiece);
    setTrouble(outcome.ok ? undefined : outcome.problem.message);
    if (outcome.ok) change(`True seam ${seam.name}`, (build) => trued(build, inForce, outcome.value));
  };
  const apart = Math.abs(walk.differenceMm);
  return (
    <fieldset className="work-item">
      <legend>
        Seam {seam.name}: {a.piece.name} to {b.piece.name}
      </legend>
      <Figures
        rows={[
          [`Edge A, ${a.piece.name}`, `${mmWords(walk.aMm, 2)} mm`],
          [`Edge B, ${b.piece.name}`, `${mmWords(walk.bMm, 2)} mm`],
        ]}
      />
      {apart <= MEETS_WITHIN_MM ? (
        <Notice tone="good">
          <p>They meet: {mmWords(apart, 2)} mm apart.</p>
        </Notice>
      ) : (
        <Notice tone="look">
          <p>{differenceWords(walk, inForce)}</p>
        </Notice>
      )}
      {apart > 0.005 && (
        <div className="stack">
          <p className="small quiet">
            Make them one length. Corners stay corners; the neighbouring edges follow.
          </p>
          <div className="row">
            <ActionButton onPress={() => trueTo('share')}>Share it</ActionButton>
            <ActionButton onPress={() => trueTo('a-follows')}>A follows B</ActionButton>
            <ActionButton onPress={() => trueTo('b-follows')}>B follows A</ActionButton>
          </div>
        </div>
      )}
      {trouble && (
        <Notice tone="wrong" isNews>
          <p>{trouble}</p>
        </Notice>
      )}
      <More title="Notches, fold and bevel">
        <SeamFields inForce={inForce} />
      </More>
      <div className="row">
        <ActionButton
          kind="quiet"
          icon={Trash2}
          onPress={() =>
            change(`Take seam ${seam.name} apart`, (build) => removeSeam(build, { seamId: seam.id }))
          }
        >
          {`Take seam ${seam.name} apart`}
        </ActionButton>
      </div>
    </fieldset>
  );
}

function SeamFields({ inForce: { seam, a, b } }: { readonly inForce: SeamInForce }) {
  const set = (words: string, changed: Partial<typeof seam>) =>
    change(words, (build) => changeSeam(build, { seamId: seam.id, ...changed }));
  const degrees = (seam.foldRad * 180) / Math.PI;
  return (
    <>
      <Choice
        label="How the second piece lies"
        options={[
          { id: 'beside', words: 'As drawn' },
          { id: 'turned', words: 'Turned over' },
        ]}
        value={seam.facing}
        onChange={(facing) => set(`How seam ${seam.name} lies`, { facing })}
      />
      <div className="field-rows">
        <MmField
          label="Notches in each half"
          unit=""
          digits={0}
          {...LIMITS.notchesPerHalf}
          value={seam.notchesPerHalf}
          onChange={(notchesPerHalf) => set(`Notches of seam ${seam.name}`, { notchesPerHalf })}
        />
        <MmField
          label="The foam folds there by"
          unit="°"
          digits={0}
          min={-150}
          max={150}
          value={degrees}
          onChange={(next) => {
            if (Math.abs(next - degrees) > 0.5)
              set(`Fold at seam ${seam.name}`, { foldRad: (next * Math.PI) / 180 });
          }}
        />
      </div>
      <p className="small quiet">
        {seam.foldRad === 0
          ? 'Edges cut square. For a fold, each edge is bevelled by half of its angle; round a ring of equal panels that is 180° divided by their number.'
          : `Bevel each edge ${degreeWords(Math.abs(bevelRad(seam.foldRad)), 1)} from square. Lengths are taken on the middle of the foam, ${mmWords(Math.abs(a.insetMm))} and ${mmWords(Math.abs(b.insetMm))} mm in from the drawn edges. Cut bevels with a sharp blade, away from yourself.`}
      </p>
      <p className="small quiet">
        One tick towards the beginning, a long one in the middle, two towards the end: so the edges cannot be
        joined the wrong way round.
      </p>
    </>
  );
}

function differenceWords(walk: SeamWalk, { a, b }: SeamInForce): string {
  const longer = walk.differenceMm > 0 ? a : b;
  const names = a.piece.id === b.piece.id ? `Edge ${walk.differenceMm > 0 ? 'A' : 'B'}` : longer.piece.name;
  const start = `${names} is ${mmWords(Math.abs(walk.differenceMm), 2)} mm longer.`;
  if (walk.stretches.length < 2)
    return `${start} Walked from their common beginning, the shorter ends at the mark on the table.`;
  const index = walk.stretches.indexOf(walk.worst) + 1;
  return `${start} Most of it, ${mmWords(Math.abs(walk.worst.differenceMm), 2)} mm, lies between corners ${index} and ${index + 1} of ${walk.stretches.length + 1}.`;
}

function withOutline(
  build: Build,
  pieceId: string,
  former: Path,
  side: TruedSide,
  why: string,
  id: string,
): Build {
  if (side.outline === former) return build;
  const piece = build.pieces.find((each) => each.id === pieceId);
  if (!piece) return build;
  const { lines } = lastRevision(piece);
  return addRevision(carrySeams(build, { pieceId, move: side.move }), {
    pieceId,
    stamp: { ...newStamp(), id },
    lines: lines.map((line) => (line.path === former ? { ...line, path: side.outline } : line)),
    why,
  });
}

/** Both outlines as trued, each as a revision that says how far it moved, and the seam on its new edges. */
function trued(build: Build, { seam, a, b }: SeamInForce, { a: newA, b: newB }: TruedSeam): Build {
  const { id } = newStamp();
  const why = ({ largestMoveMm }: TruedSide) =>
    `seam ${seam.name} trued, moved at most ${mmWords(largestMoveMm, 2)} mm`;
  const isOne = a.piece.id === b.piece.id;
  let next = build;
  if (isOne) {
    const both = { ...newB, move: newA.move };
    next = withOutline(next, a.piece.id, a.outline, both, why(newA), id);
  } else {
    if (newA.largestMoveMm > 0) next = withOutline(next, a.piece.id, a.outline, newA, why(newA), id);
    if (newB.largestMoveMm > 0) next = withOutline(next, b.piece.id, b.outline, newB, why(newB), `${id}-b`);
  }
  return changeSeam(next, {
    seamId: seam.id,
    a: { ...seam.a, ...newA.edge },
    b: { ...seam.b, ...newB.edge },
  });
}
