import { useEffect, useRef } from 'react';
import { usePicture } from './photos.ts';

const LONG_SIDE_PX = 160;

/** A photo in small; decoration beside its name. */
export function PhotoThumb({ photoId }: { readonly photoId: string }) {
  const state = usePicture(photoId);
  const canvas = useRef<HTMLCanvasElement>(null);
  const bitmap = state.kind === 'here' ? state.picture.reduced : undefined;
  const share = bitmap ? LONG_SIDE_PX / Math.max(bitmap.width, bitmap.height) : 1;
  const [width, height] = bitmap
    ? [Math.round(bitmap.width * share), Math.round(bitmap.height * share)]
    : [LONG_SIDE_PX, 0.75 * LONG_SIDE_PX];
  useEffect(() => {
    if (bitmap) canvas.current?.getContext('2d')?.drawImage(bitmap, 0, 0, width, height);
  }, [bitmap, width, height]);
  return <canvas ref={canvas} className="photo-thumb" width={width} height={height} aria-hidden="true" />;
}
