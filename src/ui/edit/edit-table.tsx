import { Image as ImageIcon, Shapes } from 'lucide-react';
import { useState } from 'react';
import { Rect } from 'react-konva';
import type { Piece } from '../../build/types.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { Bounds } from '../../geometry/measure.ts';
import { Choice } from '../controls/choice.tsx';
import { usePalette } from '../look/palette.ts';
import { piecesBounds, withRoom } from '../trace/trace-flat.tsx';
import { useFlattened } from '../trace/use-flattened.ts';
import { FlatPhoto } from '../worktable/photo-shapes.tsx';
import { Sheet } from '../worktable/piece-shapes.tsx';
import { PlaneGrid } from '../worktable/plane-shapes.tsx';
import { PlaneTable } from '../worktable/worktable.tsx';
import { addJointByTap, editGrab, pickByTap } from './edit-pointer.ts';
import { EditShape } from './edit-shape.tsx';
import { hoverBrush, paintOf } from './paint.ts';
import { useLines, usePicks, useSitting, useSittingState } from './sitting.ts';
import { tapWithTool, ToolMarks } from './tool-marks.tsx';

const ROOM_MM = 24;

interface EditTableProps {
  readonly piece: Piece;
}

/** The piece in millimetres with its joints to be caught, over the photo seen from straight above where it still lies there. */
export function EditTable({ piece }: EditTableProps) {
  const sitting = useSitting();
  const tool = useSittingState((state) => state.tool);
  // Of the piece as the sitting found it: the table stays put while the piece is changed.
  const [bounds] = useState(() => withRoom(piecesBounds([piece]), ROOM_MM));
  const liesInPhoto = sitting.photo !== undefined && lastRevision(piece).frame !== undefined;
  const [wantsPhoto, setWantsPhoto] = useState(true);
  const isOverPhoto = liesInPhoto && wantsPhoto;
  const flattened = useFlattened(sitting.photo, isOverPhoto ? bounds : undefined);
  return (
    <PlaneTable
      label={`The lines of ${piece.name}, to be edited`}
      fitKey={`edit ${piece.id}`}
      boundsMm={bounds}
      isPicking={tool !== 'pick'}
      takesFocus
      onHover={paintOf(tool) && ((at) => hoverBrush(sitting, at))}
      grab={(at, how) => editGrab(sitting, piece.axis, at, how)}
      onTap={(at, _id, how) => {
        if (tool === 'pick') pickByTap(sitting, at, how);
        else if (tool === 'joint') addJointByTap(sitting, at, how);
        else tapWithTool(sitting, piece, at, how);
      }}
      overlay={
        liesInPhoto && (
          <Choice
            label="Under the lines"
            options={[
              { id: 'photo', words: 'Photo', icon: ImageIcon },
              { id: 'plain', words: 'Plain', icon: Shapes },
            ]}
            value={wantsPhoto ? 'photo' : 'plain'}
            onChange={(value) => setWantsPhoto(value === 'photo')}
          />
        )
      }
      over={<EditedLines isOverPhoto={flattened !== undefined} />}
    >
      {flattened ? <FlatPhoto {...flattened} /> : <PlainGround piece={piece} boundsMm={bounds} />}
    </PlaneTable>
  );
}

function PlainGround({ piece, boundsMm }: { readonly piece: Piece; readonly boundsMm: Bounds }) {
  return (
    <>
      <PlaneGrid boundsMm={boundsMm} />
      <Sheet lines={lastRevision(piece).lines} />
    </>
  );
}

function EditedLines({ isOverPhoto }: { readonly isOverPhoto: boolean }) {
  const lines = useLines();
  const draft = useSittingState((state) => state.draft);
  const picks = usePicks();
  return (
    <>
      <EditShape lines={draft ?? lines} picks={picks} isOverPhoto={isOverPhoto} />
      <ToolMarks />
      <PickingBox />
    </>
  );
}

function PickingBox() {
  const palette = usePalette();
  const box = useSittingState((state) => state.box);
  if (!box) return null;
  const { from, to } = box;
  return (
    <Rect
      x={Math.min(from.x, to.x)}
      y={-Math.max(from.y, to.y)}
      width={Math.abs(to.x - from.x)}
      height={Math.abs(to.y - from.y)}
      stroke={palette.accent}
      strokeWidth={1.5}
      strokeScaleEnabled={false}
      dash={[5, 4]}
    />
  );
}
