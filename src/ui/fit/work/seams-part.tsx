import { Link2 } from 'lucide-react';
import { useState } from 'react';
import { addSeam } from '../../../build/commands/seams.ts';
import type { PieceEdge } from '../../../build/seam-types.ts';
import { seamsInForce } from '../../../build/seam-lookups.ts';
import { change, newStamp, useBuild } from '../../bench.ts';
import { ActionButton } from '../../controls/action-button.tsx';
import { MmField } from '../../controls/mm-field.tsx';
import { More } from '../../controls/more.tsx';
import { PickFrom } from '../../controls/pick-from.tsx';
import { pickPiece } from '../../desk.ts';
import { edgesOf, listedAs, partOfEdge } from './edges.ts';
import { KeptSeam } from './kept-seam.tsx';
import { pickEdge, useWork, work } from './work-store.ts';

/** Two edges that are joined: picked, walked, trued and notched. */
export function SeamsPart({ pieceId }: { readonly pieceId: string }) {
  const edges = useWork((each) => each.edges);
  const build = useBuild((each) => each);
  const seams = seamsInForce(build);
  const { a, b } = edges;
  const join = (first: PieceEdge, second: PieceEdge) => {
    change('Join two edges', (each) =>
      addSeam(each, {
        stamp: newStamp(),
        a: first,
        b: second,
        facing: 'beside',
        notchesPerHalf: 1,
        foldRad: 0,
      }),
    );
    work.setState({ edges: { a: undefined, b: undefined }, picking: 'a' });
  };
  return (
    <>
      <p className="small quiet">
        Pick the two edges that are glued together: tap them on the pieces, or choose them here. Each seam is
        walked along both, and gets matching notches on the template.
      </p>
      {(['a', 'b'] as const).map((side) => (
        <EdgePicker key={side} side={side} tablePieceId={pieceId} />
      ))}
      <ActionButton kind="main" wide icon={Link2} isDisabled={!a || !b} onPress={() => a && b && join(a, b)}>
        Join these edges
      </ActionButton>
      {seams.map((seam) => (
        <KeptSeam key={seam.seam.id} inForce={seam} />
      ))}
    </>
  );
}

function EdgePicker({ side, tablePieceId }: { readonly side: 'a' | 'b'; readonly tablePieceId: string }) {
  const edge = useWork(({ edges }) => edges[side]);
  const isNext = useWork(({ picking }) => picking === side);
  const pieces = useBuild((build) => build.pieces);
  const [ownPieceId, setOwnPieceId] = useState<string | undefined>(undefined);
  const piece = pieces.find(({ id }) => id === (edge?.pieceId ?? ownPieceId ?? tablePieceId));
  const listed = piece ? edgesOf(piece) : [];
  const name = side.toUpperCase();
  return (
    <fieldset className="work-item">
      <legend>
        Edge {name}
        {isNext && <span className="quiet small"> · the next tap picks it</span>}
      </legend>
      {pieces.length > 1 && (
        <PickFrom
          label={`Piece of edge ${name}`}
          options={pieces.map(({ id, name }) => ({ id, words: name }))}
          value={piece?.id}
          onChange={(id) => {
            setOwnPieceId(id);
            pickEdge(side, undefined);
            work.setState({ picking: side });
            pickPiece(id);
          }}
        />
      )}
      <PickFrom
        label={`Edge ${name} from corner to corner`}
        options={listed.map(({ id, words }) => ({ id, words }))}
        value={listedAs(listed, edge)?.id}
        placeholder={edge ? 'A part of an edge' : 'Choose'}
        onChange={(id) => pickEdge(side, listed.find((each) => each.id === id)?.edge)}
      />
      {edge && <PartFields side={side} edge={edge} />}
    </fieldset>
  );
}

/** Only a part of the edge is joined: what is left out at either end. */
function PartFields({ side, edge }: { readonly side: 'a' | 'b'; readonly edge: PieceEdge }) {
  const piece = useBuild((build) => build.pieces.find(({ id }) => id === edge.pieceId));
  const [leave, setLeave] = useState<readonly [number, number]>([0, 0]);
  const whole = piece && listedAs(edgesOf(piece), edge);
  const [kept, setKept] = useState(whole);
  const base = whole ?? kept;
  if (whole && kept !== whole) {
    setKept(whole);
    setLeave([0, 0]);
  }
  if (!base) return null;
  const set = (index: 0 | 1, mm: number) => {
    const next: readonly [number, number] = index === 0 ? [mm, leave[1]] : [leave[0], mm];
    setLeave(next);
    const part = next[0] + next[1] > 0 ? partOfEdge(base.edge, base.path, next) : base.edge;
    work.setState(({ edges }) => ({ edges: { ...edges, [side]: part } }));
  };
  return (
    <More title="Only a part of it">
      <div className="field-rows">
        {([0, 1] as const).map((index) => (
          <MmField
            key={index}
            label={index === 0 ? 'Begins after' : 'Ends before its end by'}
            min={0}
            max={2000}
            value={leave[index]}
            onChange={(mm) => {
              if (mm !== leave[index]) set(index, mm);
            }}
          />
        ))}
      </div>
    </More>
  );
}
