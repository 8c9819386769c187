import type { CaptureRecord, Piece } from '../../build/types.ts';
import { ThicknessPart } from '../capture/thickness-part.tsx';
import { Notice } from '../controls/notice.tsx';
import { lastTrace } from './last-trace.ts';

interface SideWallPartProps {
  readonly record: CaptureRecord;
  readonly pieces: readonly Piece[];
}

/** Asks for the thickness, here and now, when a piece that was measured as paper shows a side wall. */
export function SideWallPart({ record, pieces }: SideWallPartProps) {
  const asking = pieces.flatMap((piece) =>
    (lastTrace(piece)?.warnings ?? []).flatMap(({ code, message }) =>
      code === 'side-wall' ? [{ id: piece.id, name: piece.name, message }] : [],
    ),
  );
  if (asking.length === 0) return null;
  return (
    <>
      {asking.map(({ id, name, message }) => (
        <Notice key={id} tone="look">
          <p>
            <strong>{name}.</strong> {message}
          </p>
        </Notice>
      ))}
      <ThicknessPart record={record} />
    </>
  );
}
