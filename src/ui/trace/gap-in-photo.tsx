import type { BridgedGap } from '../../trace/drawn/drawn-types.ts';
import { PhotoLine } from '../worktable/photo-shapes.tsx';
import { ScreenLabel } from '../worktable/screen-label.tsx';
import { IN_HAND_ON_PHOTO } from './photo-colors.ts';

interface GapInPhotoProps {
  readonly gap: BridgedGap;
  /** As in the list beside the photo. */
  readonly number: number;
}

/** A gap that was bridged, where it lies in the photo. */
export function GapInPhoto({ gap: { fromPx, toPx }, number }: GapInPhotoProps) {
  return (
    <>
      <PhotoLine points={[fromPx, toPx]} closed={false} color={IN_HAND_ON_PHOTO} widthPx={6} />
      <ScreenLabel
        x={Math.max(fromPx.u, toPx.u)}
        y={Math.min(fromPx.v, toPx.v)}
        text={`Gap ${number}`}
        color={IN_HAND_ON_PHOTO}
      />
    </>
  );
}
