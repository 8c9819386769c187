import { Plus } from 'lucide-react';
import { useState } from 'react';
import { addPiece } from '../../../build/commands/pieces.ts';
import { addSeam } from '../../../build/commands/seams.ts';
import type { PieceEdge } from '../../../build/seam-types.ts';
import type { Build } from '../../../build/types.ts';
import type { BandNeed } from '../../../fit/bands/band-shape.ts';
import { slantMm } from '../../../fit/bands/band-shape.ts';
import { type JoiningBand, joiningBand } from '../../../fit/bands/joining-band.ts';
import { pathLengthMm } from '../../../geometry/measure.ts';
import { change, newStamp, useBuild } from '../../bench.ts';
import { ActionButton } from '../../controls/action-button.tsx';
import { Choice } from '../../controls/choice.tsx';
import { Figures } from '../../controls/figures.tsx';
import { MmField } from '../../controls/mm-field.tsx';
import { Notice } from '../../controls/notice.tsx';
import { degreeWords, mmWords } from '../../controls/number-words.ts';
import { PickFrom } from '../../controls/pick-from.tsx';
import { pickPiece } from '../../desk.ts';
import { CrossBarFields } from './cross-bar-fields.tsx';
import { edgesOf } from './edges.ts';
import { useShownMade } from './made-table.tsx';

/** Bands and bars that are made to measure; each becomes a piece like any other. */
export function BandsPart() {
  const [shown, setShown] = useState<'band' | 'bar'>('band');
  return (
    <>
      <Choice
        label="What is made to measure"
        options={[
          { id: 'band', words: 'Joining band' },
          { id: 'bar', words: 'Cross bar' },
        ]}
        value={shown}
        onChange={setShown}
      />
      {shown === 'band' ? <BandFields /> : <CrossBarFields />}
    </>
  );
}

const TYPED = 'typed';

interface EdgeChoice {
  readonly id: string;
  readonly words: string;
  readonly edge: PieceEdge;
  readonly lengthMm: number;
}

function allEdges(build: Build): EdgeChoice[] {
  return build.pieces.flatMap((piece) =>
    edgesOf(piece).map(({ id, words, edge, path }) => ({
      id: `${piece.id}/${id}`,
      words: `${piece.name}: ${words}`,
      edge,
      lengthMm: pathLengthMm(path),
    })),
  );
}

function BandFields() {
  const build = useBuild((each) => each);
  const edges = allEdges(build);
  const [chosen, setChosen] = useState<readonly [string, string]>([TYPED, TYPED]);
  const [typed, setTyped] = useState<readonly [number, number]>([580, 600]);
  const [measured, setMeasured] = useState<'slant' | 'upright'>('slant');
  const [widthMm, setWidthMm] = useState(40);
  const picked = chosen.map((id) => edges.find((each) => each.id === id));
  const [aMm, bMm] = [picked[0]?.lengthMm ?? typed[0], picked[1]?.lengthMm ?? typed[1]];
  const need: BandNeed = {
    aMm,
    bMm,
    widthMm: measured === 'slant' ? widthMm : slantMm(aMm, bMm, widthMm),
  };
  const outcome = joiningBand(need, 'preview', true);
  useShownMade('Joining band', outcome.ok ? outcome.value.lines : undefined);
  return (
    <fieldset className="work-item">
      <legend>Joining band</legend>
      {([0, 1] as const).map((side) => (
        <div key={side} className="stack">
          <PickFrom
            label={side === 0 ? 'Joins edge A' : 'to edge B'}
            options={[
              { id: TYPED, words: 'A length typed in' },
              ...edges.map(({ id, words }) => ({ id, words })),
            ]}
            value={picked[side] ? chosen[side] : TYPED}
            onChange={(id) => setChosen(side === 0 ? [id, chosen[1]] : [chosen[0], id])}
          />
          {!picked[side] && (
            <MmField
              label={`Length of edge ${side === 0 ? 'A' : 'B'}`}
              min={10}
              max={5000}
              value={typed[side]}
              onChange={(mm) => setTyped(side === 0 ? [mm, typed[1]] : [typed[0], mm])}
            />
          )}
        </div>
      ))}
      <Choice
        label="How the width is measured"
        options={[
          { id: 'slant', words: 'Along the band' },
          { id: 'upright', words: 'Upright, all round' },
        ]}
        value={measured}
        onChange={setMeasured}
      />
      <MmField label="Width of the band" min={2} max={1000} value={widthMm} onChange={setWidthMm} />
      {outcome.ok ? (
        <BandFigures band={outcome.value} />
      ) : (
        <Notice tone="wrong">
          <p>{outcome.problem.message}</p>
        </Notice>
      )}
      <ActionButton
        wide
        icon={Plus}
        isDisabled={!outcome.ok}
        onPress={() => addBand(need, [picked[0]?.edge, picked[1]?.edge])}
      >
        Add the band as a piece
      </ActionButton>
    </fieldset>
  );
}

function BandFigures({ band: { shape } }: { readonly band: JoiningBand }) {
  const shorter = shape.shorter === 'neither' ? 'both alike' : `edge ${shape.shorter.toUpperCase()}`;
  return (
    <>
      <Figures
        rows={
          shape.kind === 'curved'
            ? [
                ['Laid flat', 'curved'],
                ['Outer radius', `${mmWords(shape.outerRadiusMm)} mm`],
                ['Inner radius', `${mmWords(shape.innerRadiusMm)} mm`],
                ['Angle', degreeWords(shape.angleRad, 2)],
                ['Shorter edge', shorter],
              ]
            : [
                ['Laid flat', 'straight'],
                ['Length', `${mmWords(shape.lengthMm)} mm`],
                ['Shorter edge', shorter],
              ]
        }
      />
      <p className="small quiet">
        {shape.kind === 'curved' || shape.leftOverMm === 0
          ? 'Lengths are those of the edges, on the middle of the foam.'
          : `The edges differ by ${mmWords(shape.leftOverMm, 2)} mm only, so the band is cut straight.`}
      </p>
    </>
  );
}

/** The band as a piece, with a seam to each edge that was picked, so that both carry the same notches. */
function addBand(need: BandNeed, edges: readonly [PieceEdge | undefined, PieceEdge | undefined]): void {
  const stamp = newStamp();
  const hasSeams = edges.some((edge) => edge !== undefined);
  const outcome = joiningBand(need, stamp.id, !hasSeams);
  if (!outcome.ok) return;
  const { lines, edgeA, edgeB } = outcome.value;
  const why = `band from ${mmWords(need.aMm)} to ${mmWords(need.bMm)} mm, ${mmWords(need.widthMm)} mm wide`;
  change('Add joining band', (build) =>
    [edgeA, edgeB].reduce(
      (joined, own, index) => {
        const mate = edges[index];
        if (!mate) return joined;
        return addSeam(joined, {
          stamp: newStamp(),
          a: mate,
          b: { pieceId: stamp.id, ...own },
          facing: 'beside',
          notchesPerHalf: 1,
          foldRad: 0,
        });
      },
      addPiece(build, { stamp, name: 'Joining band', lines, why }),
    ),
  );
  pickPiece(stamp.id);
}
