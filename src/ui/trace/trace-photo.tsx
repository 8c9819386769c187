import { useMemo } from 'react';
import { Group } from 'react-konva';
import type { Camera } from '../../capture/camera.ts';
import type { Piece, Revision } from '../../build/types.ts';
import { boundsOf } from '../../geometry/measure.ts';
import { IN_HAND_ON_PHOTO, LEFT_OUT_ON_PHOTO, TRACED_ON_PHOTO } from './photo-colors.ts';
import { pathInPhoto, pathWithinPhoto, PhotoLine } from '../worktable/photo-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';

/** The newest revision that still lies where the photo shows the piece. */
function revisionInPhoto(piece: Piece): Revision | undefined {
  return piece.revisions.findLast(({ frame }) => frame);
}

interface PieceInPhotoProps {
  readonly piece: Piece;
  /** A joined photo: the lines are seen through its camera, as far as it reaches. */
  readonly joined?: Camera | undefined;
  readonly isInHand: boolean;
}

/** A piece's lines drawn where they lie in the photo: mm taken back through the camera at the piece's height. */
export function PieceInPhoto({ piece, joined, isInHand }: PieceInPhotoProps) {
  const revision = revisionInPhoto(piece);
  const lines = useMemo(() => {
    const frame = revision?.frame;
    if (!frame) return [];
    return revision.lines.map(({ id, path }) => ({
      id,
      closed: path.closed,
      points: joined
        ? pathWithinPhoto(path, joined, frame.heightMm)
        : pathInPhoto(path, frame.camera, frame.heightMm),
    }));
  }, [revision, joined]);
  const outer = lines[0];
  if (!outer || outer.points.length === 0) return null;
  const bounds = boundsOf(outer.points.map(({ u, v }) => ({ x: u, y: v })));
  const color = !piece.included ? LEFT_OUT_ON_PHOTO : isInHand ? IN_HAND_ON_PHOTO : TRACED_ON_PHOTO;
  return (
    <Group id={piece.id}>
      {lines.map(({ id, points, closed }, index) => (
        <PhotoLine
          key={id}
          points={points}
          closed={closed}
          color={color}
          widthPx={isInHand ? 3 : 2}
          id={index === 0 ? piece.id : `${piece.id} hole`}
          {...(index === 0 && { fill: '#00000001' })}
          {...(!piece.included && { dash: [6, 6] })}
        />
      ))}
      <ScreenLabel
        x={(bounds.minX + bounds.maxX) / 2}
        y={bounds.minY}
        text={piece.included ? piece.name : `${piece.name}: left out`}
        color={color}
      />
    </Group>
  );
}
