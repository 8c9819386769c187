import { Layers, Plus } from 'lucide-react';
import { useState } from 'react';
import { setPieceFoam, setWrap } from '../../build/commands/pieces.ts';
import { setLining } from '../../build/commands/rounds.ts';
import { addFoam, changeFoam, chooseFoam } from '../../build/commands/wearers-and-foams.ts';
import type { Foam } from '../../build/fit-types.ts';
import { LIMITS } from '../../build/limits.ts';
import { foamOf } from '../../build/lookups.ts';
import type { Build, Piece } from '../../build/types.ts';
import type { WrapInForce } from '../../build/wrap-in-force.ts';
import { ASSUMED_NEUTRAL_K, type WrapNeed } from '../../fit/wrap-length.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { More } from '../controls/more.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';
import { BendTestPart } from './bend-test-part.tsx';
import { FoamLengths } from './foam-lengths.tsx';
import { neutralWords, thicknessWords } from './foam-words.ts';

interface FoamPartProps {
  readonly piece: Piece;
  readonly wrap: WrapInForce;
  readonly need: WrapNeed;
}

/** What the piece is cut from, what its thickness does to the length, and what lies under it. */
export function FoamPart({ piece, wrap, need }: FoamPartProps) {
  const foams = useBuild((build) => build.foams);
  const pieceCount = useBuild((build) => build.pieces.length);
  const foam = useBuild((build) => foamOf(build, piece));
  const isEverywhere = useBuild((build) => build.pieces.every(({ foamId }) => foamId === foam.id));
  return (
    <PanelPart title="Foam" icon={Layers}>
      <PickFrom
        label={`${piece.name} is cut from`}
        options={[...foams]
          .sort((a, b) => a.thicknessMm - b.thicknessMm)
          .map(({ id, name }) => ({ id, words: name }))}
        value={foam.id}
        onChange={(foamId) =>
          change(`Foam of ${piece.name}`, (build) => setPieceFoam(build, { pieceId: piece.id, foamId }))
        }
      />
      <AsPhotographed piece={piece} foam={foam} foams={foams} />
      {pieceCount > 1 && !isEverywhere && (
        <div className="row">
          <ActionButton onPress={() => change(`All of ${foam.name}`, (build) => allOf(build, foam.id))}>
            Use it for every piece
          </ActionButton>
        </div>
      )}
      <p className="small quiet">{thicknessWords(foam, foams, need.coverageRad)}</p>
      <More title="This wrap in other foam">
        <FoamLengths need={need} foams={foams} foamId={foam.id} />
        <NewFoam />
      </More>
      <More title="Liner, padding, second layer">
        <Underneath piece={piece} wrap={wrap} />
      </More>
      <More title={`How it bends: K ${neutralWords(foam)}, ${foam.bendTest ? 'measured' : 'assumed'}`}>
        <p className="small quiet">
          Bent foam is squeezed inside and stretched outside; in between lies a surface that keeps its length.
          K says where: 0 at the head, 1 at the outside. Half-way (0.5) is assumed until it is measured: no
          published figure for foam was found.
        </p>
        <div className="field-rows">
          <MmField
            label="Neutral surface, K"
            unit=""
            digits={2}
            {...LIMITS.neutralK}
            value={foam.neutralK}
            onChange={(neutralK) => {
              // A measured K has more digits than the field shows: looking at it must not round it off.
              if (Math.abs(neutralK - foam.neutralK) > 0.005)
                change(`How ${foam.name} bends`, (build) => changeFoam(build, { foamId: foam.id, neutralK }));
            }}
          />
        </div>
        <h4>Measure it with a test strip</h4>
        <BendTestPart key={foam.id} foam={foam} />
      </More>
    </PanelPart>
  );
}

/** Up to this a mock-up is more likely of card, mm. */
const THICKEST_CARD_MM = 3;
/** Foam as sold differs this much from its name, mm. */
const SAME_THICKNESS_MM = 0.5;

/** A mock-up of foam is likely to be cut from the same again, and the wrap depends on it: offered where another is chosen. */
function AsPhotographed({
  piece: { id: pieceId, name, captureId },
  foam,
  foams,
}: {
  readonly piece: Piece;
  readonly foam: Foam;
  readonly foams: readonly Foam[];
}) {
  const seenMm = useBuild(({ captures }) => captures.find(({ id }) => id === captureId)?.thicknessMm ?? 0);
  const isSame = ({ thicknessMm }: Foam) => Math.abs(thicknessMm - seenMm) <= SAME_THICKNESS_MM;
  const same = foams.find(isSame);
  if (!same || isSame(foam) || seenMm <= THICKEST_CARD_MM) return null;
  return (
    <>
      <p className="small quiet">The mock-up in the photo is {mmWords(seenMm)} mm thick.</p>
      <div className="row">
        <ActionButton
          onPress={() =>
            change(`Foam of ${name}`, (build) => setPieceFoam(build, { pieceId, foamId: same.id }))
          }
        >
          {`Cut it from ${same.name}`}
        </ActionButton>
      </div>
    </>
  );
}

function allOf(build: Build, foamId: string): Build {
  const chosen = chooseFoam(build, { foamId });
  return chosen.pieces.reduce(
    (changed, { id: pieceId }) => setPieceFoam(changed, { pieceId, foamId }),
    chosen,
  );
}

const ON_THE_HEAD = 'head';

/** What lies between head and piece. */
function Underneath({ piece, wrap }: Pick<FoamPartProps, 'piece' | 'wrap'>) {
  const foams = useBuild((build) => build.foams);
  const lining = useBuild((build) => build.lining);
  return (
    <>
      <PickFrom
        label={`${piece.name} lies on`}
        options={[
          { id: ON_THE_HEAD, words: 'the head' },
          ...foams.map(({ id, name }) => ({ id, words: `a first layer of ${name}` })),
        ]}
        value={wrap.overFoamId ?? ON_THE_HEAD}
        onChange={(id) =>
          change(`What ${piece.name} lies on`, (build) => {
            const { overFoamId: _, ...bare } = wrap;
            const next = id === ON_THE_HEAD ? bare : { ...bare, overFoamId: id };
            return setWrap(build, { pieceId: piece.id, wrap: next });
          })
        }
      />
      <div className="field-rows">
        <MmField
          label="Liner"
          {...LIMITS.liningMm}
          value={lining?.linerMm ?? 0}
          onChange={(linerMm) => change('Liner', (build) => setLining(build, { linerMm }))}
        />
        <MmField
          label="Padding"
          {...LIMITS.liningMm}
          value={lining?.paddingMm ?? 0}
          onChange={(paddingMm) => change('Padding', (build) => setLining(build, { paddingMm }))}
        />
      </div>
      <p className="small quiet">
        As thick as they are when worn, squeezed, for the whole headpiece. Pads here and there count for their
        share: 6 mm over half the way round is 3 mm. Every millimetre underneath makes the whole way round 6.3
        mm longer.
      </p>
    </>
  );
}

function NewFoam() {
  const [thicknessMm, setThicknessMm] = useState(7);
  const isKnown = useBuild((build) => build.foams.some((foam) => foam.thicknessMm === thicknessMm));
  return (
    <div className="field-and-unit">
      <MmField
        label="Foam of another thickness"
        {...LIMITS.foamThicknessMm}
        value={thicknessMm}
        onChange={setThicknessMm}
      />
      <ActionButton
        icon={Plus}
        isDisabled={isKnown}
        onPress={() =>
          change('Add foam', (build) =>
            addFoam(build, {
              stamp: newStamp(),
              name: `${mmWords(thicknessMm, Number.isInteger(thicknessMm) ? 0 : 1)} mm foam`,
              thicknessMm,
              neutralK: ASSUMED_NEUTRAL_K,
            }),
          )
        }
      >
        Add
      </ActionButton>
    </div>
  );
}
