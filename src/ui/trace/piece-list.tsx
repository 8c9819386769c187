import { useMemo } from 'react';
import { Button } from 'react-aria-components';
import { includePiece, renamePiece } from '../../build/commands/pieces.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { Piece } from '../../build/types.ts';
import { change } from '../bench.ts';
import { digitsFor, mmWords, toleranceWords } from '../controls/number-words.ts';
import { TextLine } from '../controls/text-line.tsx';
import { Tick } from '../controls/tick.tsx';
import { pickPiece } from '../desk.ts';
import { lastTrace } from './last-trace.ts';
import { PieceOutline } from './piece-outline.tsx';
import { pieceSize } from './piece-size.ts';

interface PieceListProps {
  readonly pieces: readonly Piece[];
  readonly inHandId: string | undefined;
}

/** The pieces traced: the one in hand can be renamed; each can be left out of template and files. */
export function PieceList({ pieces, inHandId }: PieceListProps) {
  return (
    <ul className="piece-list">
      {pieces.map((piece) => (
        <li key={piece.id} className={piece.id === inHandId ? 'piece-row piece-row-in-hand' : 'piece-row'}>
          <PieceRow piece={piece} isInHand={piece.id === inHandId} />
        </li>
      ))}
    </ul>
  );
}

/** "292.4 × 148.1", "± 0.2 mm". */
function sizeWords(piece: Piece): readonly [string, string] {
  const { longMm, shortMm } = pieceSize(piece);
  const { toleranceMm } = lastRevision(piece);
  const digits = toleranceMm === undefined ? 1 : Math.max(1, digitsFor(toleranceMm));
  return [
    `${mmWords(longMm, digits)} × ${mmWords(shortMm, digits)}`,
    toleranceMm === undefined ? 'mm' : `${toleranceWords(toleranceMm)} mm`,
  ];
}

function PieceRow({ piece, isInHand }: { readonly piece: Piece; readonly isInHand: boolean }) {
  const { id: pieceId, name, included } = piece;
  const [size, tolerance] = useMemo(() => sizeWords(piece), [piece]);
  return (
    <>
      <Button
        className="piece-pick"
        aria-pressed={isInHand}
        {...(isInHand && { 'aria-label': `${name}, ${size} ${tolerance}` })}
        onPress={() => pickPiece(pieceId)}
      >
        <PieceOutline piece={piece} color={lastTrace(piece)?.color} />
        <span className="stack piece-words">
          {!isInHand && (
            <strong>
              {name}
              <span className="only-read-aloud">, </span>
            </strong>
          )}
          <span className="small piece-size">
            <span>{size}</span> <span>{tolerance}</span>
          </span>
        </span>
      </Button>
      {isInHand && (
        <TextLine
          label="Name"
          value={name}
          onChange={(next) => change('Rename piece', (build) => renamePiece(build, { pieceId, name: next }))}
        />
      )}
      <Tick
        isOn={included}
        label={`Include ${name}`}
        onChange={(next) =>
          change(next ? 'Include piece' : 'Leave piece out', (build) =>
            includePiece(build, { pieceId, included: next }),
          )
        }
      >
        Include
      </Tick>
    </>
  );
}
