import { useBuild } from './bench.ts';
import { PickFrom } from './controls/pick-from.tsx';
import { pickPiece } from './desk.ts';
import { usePickedPiece } from './picked.ts';

/** Which of the included pieces lies on the table; nothing to choose while there is only one. */
export function PiecePicker() {
  const pieces = useBuild((build) => build.pieces);
  const picked = usePickedPiece();
  const included = pieces.filter((piece) => piece.included || piece.id === picked?.id);
  if (included.length < 2) return picked ? <h3>{picked.name}</h3> : null;
  return (
    <PickFrom
      label="Piece"
      options={included.map(({ id, name }) => ({ id, words: name }))}
      value={picked?.id}
      onChange={pickPiece}
    />
  );
}
