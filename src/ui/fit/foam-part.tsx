import { Layers, Plus } from 'lucide-react';
import { useState } from 'react';
import { setPieceFoam } from '../../build/commands/pieces.ts';
import { addFoam, changeFoam, chooseFoam } from '../../build/commands/wearers-and-foams.ts';
import { LIMITS } from '../../build/limits.ts';
import { foamOf } from '../../build/lookups.ts';
import type { Build, Foam, Piece } from '../../build/types.ts';
import { ASSUMED_NEUTRAL_K, foamDifferenceMm } from '../../fit/wrap-length.ts';
import { change, newStamp, useBuild } from '../bench.ts';
import { ActionButton } from '../controls/action-button.tsx';
import { MmField } from '../controls/mm-field.tsx';
import { More } from '../controls/more.tsx';
import { mmWords } from '../controls/number-words.ts';
import { PickFrom } from '../controls/pick-from.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';

interface FoamPartProps {
  readonly piece: Piece;
  readonly coverageRad: number;
}

/** What the piece is cut from, and what its thickness does to the length. */
export function FoamPart({ piece, coverageRad }: FoamPartProps) {
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
      {pieceCount > 1 && !isEverywhere && (
        <div className="row">
          <ActionButton onPress={() => change(`All of ${foam.name}`, (build) => allOf(build, foam.id))}>
            Use it for every piece
          </ActionButton>
        </div>
      )}
      <p className="small quiet">{thicknessWords(foam, foams, coverageRad)}</p>
      <More title="Other foam, and how it bends">
        <NewFoam />
        <div className="field-rows">
          <MmField
            label="Neutral surface, K"
            unit=""
            digits={2}
            {...LIMITS.neutralK}
            value={foam.neutralK}
            onChange={(neutralK) =>
              change(`How ${foam.name} bends`, (build) => changeFoam(build, { foamId: foam.id, neutralK }))
            }
          />
        </div>
        <p className="small quiet">
          Bent foam is squeezed inside and stretched outside; in between lies a surface that keeps its length.
          K says where: 0 at the head, 1 at the outside.{' '}
          {foam.neutralK === ASSUMED_NEUTRAL_K
            ? 'Half-way (0.5) is assumed'
            : 'Half-way (0.5) is usually assumed'}
          : no published figure for foam was found. To measure yours, bend a strip of known length round a
          drum of known girth C until its ends meet: K = (strip length − C) ÷ (6.283 × thickness).
        </p>
      </More>
    </PanelPart>
  );
}

function allOf(build: Build, foamId: string): Build {
  const chosen = chooseFoam(build, { foamId });
  return chosen.pieces.reduce(
    (changed, { id: pieceId }) => setPieceFoam(changed, { pieceId, foamId }),
    chosen,
  );
}

/** "In 5 mm foam this piece is cut 7.9 mm longer than in foam of no thickness; in 10 mm foam, 7.9 mm longer than that." */
export function thicknessWords(foam: Foam, foams: readonly Foam[], coverageRad: number): string {
  const paper = { thicknessMm: 0, neutralK: 0 };
  const more = foamDifferenceMm(coverageRad, foam, paper);
  const words = `In ${foam.name} this piece is cut ${mmWords(more)} mm longer than in paper, because foam bends about its middle`;
  const other = comparedFoam(foam, foams);
  if (!other) return `${words}.`;
  const difference = foamDifferenceMm(coverageRad, other, foam);
  const way = difference >= 0 ? 'longer' : 'shorter';
  return `${words}; in ${other.name} it would be cut ${mmWords(Math.abs(difference))} mm ${way} than that.`;
}

/** The foam to compare with: about twice as thick, or half as thick for the thickest. */
function comparedFoam(foam: Foam, foams: readonly Foam[]): Foam | undefined {
  const others = foams.filter(({ thicknessMm }) => thicknessMm !== foam.thicknessMm);
  const thickest = Math.max(...foams.map(({ thicknessMm }) => thicknessMm));
  const wanted = foam.thicknessMm * 2 <= thickest ? foam.thicknessMm * 2 : foam.thicknessMm / 2;
  const gap = (other: Foam) => Math.abs(Math.log(other.thicknessMm / wanted));
  return others.reduce<Foam | undefined>(
    (best, other) => (best && gap(best) <= gap(other) ? best : other),
    undefined,
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
