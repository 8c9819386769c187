import { Image as ImageIcon, Layers, Shapes } from 'lucide-react';
import { type ReactNode, useMemo, useState } from 'react';
import { joinOf } from '../../build/join-lookups.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { CaptureRecord, Piece } from '../../build/types.ts';
import type { Capture } from '../../capture/types.ts';
import { useBuild } from '../bench.ts';
import { Choice } from '../controls/choice.tsx';
import { pickPiece } from '../desk.ts';
import { usePicture } from '../photos.ts';
import { FlatPhoto, Photo } from '../worktable/photo-shapes.tsx';
import { PhotoTable, PlaneTable } from '../worktable/worktable.tsx';
import { boundsWithSides, FlatPieces, withRoom } from './trace-flat.tsx';
import { GapInPhoto } from './gap-in-photo.tsx';
import { LooseInPhoto } from './loose-in-photo.tsx';
import { PieceInPhoto } from './trace-photo.tsx';
import { useFlattened } from './use-flattened.ts';

type Seen = 'photo' | 'flat' | 'both';

const ON_PHOTO = { id: 'photo', words: 'Photo', icon: ImageIcon } as const;
const FLAT = { id: 'flat', words: 'Flat', icon: Shapes } as const;
const BOTH = { id: 'both', words: 'Both', icon: Layers } as const;

interface TraceTableProps {
  readonly record: CaptureRecord;
  readonly capture: Capture;
  readonly pieces: readonly Piece[];
  readonly inHand: Piece | undefined;
}

/** The traced lines: on the photo as it was taken, flat in true mm, or flat over the photo seen from straight above. */
export function TraceTable(props: TraceTableProps) {
  const { pieces } = props;
  const [wanted, setSeen] = useState<Seen>('photo');
  // A piece that has been turned or scaled since no longer lies where the photo shows it.
  const canLayOver = pieces.every((piece) => lastRevision(piece).frame);
  const options = [ON_PHOTO, FLAT, ...(canLayOver ? [BOTH] : [])];
  const seen = pieces.length === 0 ? 'photo' : wanted === 'both' && !canLayOver ? 'flat' : wanted;
  const overlay =
    pieces.length > 0 ? <Choice label="View" options={options} value={seen} onChange={setSeen} /> : undefined;
  return seen === 'photo' ? (
    <OnPhoto {...props} overlay={overlay} />
  ) : (
    <Flat {...props} overlay={overlay} isOverPhoto={seen === 'both'} />
  );
}

/** Lines and insides of a piece carry its id; those of its holes say so. */
function onTap(_at: unknown, nodeId: string | undefined): void {
  if (nodeId !== undefined) pickPiece(nodeId.replace(/ hole$/, ''));
}

interface ViewProps extends TraceTableProps {
  readonly overlay: ReactNode;
}

function OnPhoto({ record, capture, pieces, inHand, overlay }: ViewProps) {
  const picture = usePicture(record.photoId);
  const isJoined = useBuild((build) => joinOf(build, record.id) !== undefined);
  return (
    <PhotoTable
      label={`The photo ${record.photoName} with the traced lines`}
      fitKey={`photo ${record.id}`}
      widthPx={capture.camera.widthPx}
      heightPx={capture.camera.heightPx}
      overlay={overlay}
      onTap={onTap}
    >
      {picture.kind === 'here' && <Photo picture={picture.picture} />}
      {pieces.map((piece) => (
        <PieceInPhoto
          key={piece.id}
          piece={piece}
          isInHand={piece.id === inHand?.id}
          joined={isJoined ? capture.camera : undefined}
        />
      ))}
      {record.bridgedGaps?.map((gap, index) => (
        <GapInPhoto key={`${gap.fromPx.u} ${gap.fromPx.v}`} gap={gap} number={index + 1} />
      ))}
      {record.looseLines?.map((line, index) => (
        <LooseInPhoto key={`${line.middlePx.u} ${line.middlePx.v}`} line={line} number={index + 1} />
      ))}
    </PhotoTable>
  );
}

const ROOM_MM = 32;

function Flat({
  record,
  capture,
  pieces,
  inHand,
  overlay,
  isOverPhoto,
}: ViewProps & { isOverPhoto: boolean }) {
  const bounds = useMemo(() => withRoom(boundsWithSides(pieces), ROOM_MM), [pieces]);
  const flattened = useFlattened({ photoId: record.photoId, capture }, isOverPhoto ? bounds : undefined);
  return (
    <PlaneTable
      label="The pieces, flat and in millimetres"
      fitKey={`flat ${record.id}`}
      boundsMm={bounds}
      overlay={overlay}
      onTap={onTap}
    >
      {flattened && <FlatPhoto {...flattened} />}
      <FlatPieces
        pieces={pieces}
        inHandId={inHand?.id}
        boundsMm={bounds}
        isOverPhoto={flattened !== undefined}
      />
    </PlaneTable>
  );
}
