import type { LooseLine } from '../../trace/drawn/drawn-types.ts';
import { PhotoLine } from '../worktable/photo-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { IN_HAND_ON_PHOTO } from './photo-colors.ts';

interface LooseInPhotoProps {
  readonly line: LooseLine;
  /** As in the list beside the photo. */
  readonly number: number;
}

/** A line outside every outline, where it lies in the photo; one that went with a piece is drawn with the piece. */
export function LooseInPhoto({ line: { linePx, middlePx, isKept }, number }: LooseInPhotoProps) {
  return (
    <>
      {!isKept && <PhotoLine points={linePx} closed={false} color={IN_HAND_ON_PHOTO} widthPx={2} />}
      <ScreenLabel x={middlePx.u} y={middlePx.v} text={`Line ${number}`} color={IN_HAND_ON_PHOTO} />
    </>
  );
}
