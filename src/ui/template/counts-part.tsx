import { includePiece, setPieceCounts } from '../../build/commands/pieces.ts';
import { foamOf, lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { change, useBuild } from '../bench.ts';
import { MmField } from '../controls/mm-field.tsx';
import { Notice } from '../controls/notice.tsx';
import { Tick } from '../controls/tick.tsx';
import { PanelPart } from '../shell/stage-frame.tsx';

/** Every piece with how often it is cut, straight and mirrored. */
export function CountsPart() {
  const pieces = useBuild((build) => build.pieces);
  return (
    <PanelPart title="Pieces">
      <ul className="count-list">
        {pieces.map((piece) => (
          <PieceCounts key={piece.id} piece={piece} />
        ))}
      </ul>
    </PanelPart>
  );
}

function PieceCounts({ piece }: { readonly piece: Piece }) {
  const { id: pieceId, name, included, count, mirroredCount } = piece;
  const foamName = useBuild((build) => foamOf(build, piece).name);
  return (
    <li className="count-row">
      <Tick
        isOn={included}
        label={`${name} goes into the template`}
        onChange={(next) =>
          change(next ? `Print ${name}` : `Leave out ${name}`, (build) =>
            includePiece(build, { pieceId, included: next }),
          )
        }
      >
        {name}
      </Tick>
      <span className="small quiet">
        {foamName} · {lastRevision(piece).why}
      </span>
      {included && (
        <div className="field-rows">
          <MmField
            label="As drawn"
            unit=""
            digits={0}
            min={0}
            max={99}
            value={count}
            onChange={(next) =>
              change(`Cut ${name}`, (build) => setPieceCounts(build, { pieceId, count: next }))
            }
          />
          <MmField
            label="Mirrored"
            unit=""
            digits={0}
            min={0}
            max={99}
            value={mirroredCount}
            onChange={(next) =>
              change(`Cut ${name} mirrored`, (build) =>
                setPieceCounts(build, { pieceId, mirroredCount: next }),
              )
            }
          />
        </div>
      )}
      {included && count + mirroredCount === 0 && (
        <Notice tone="look">
          <p>Cut no times, so it is not printed.</p>
        </Notice>
      )}
    </li>
  );
}
