import { useEffect, useRef } from 'react';
import { useThumb } from './photos.ts';

/** A photo in small; decoration beside its name. */
export function PhotoThumb({ photoId }: { readonly photoId: string }) {
  const bitmap = useThumb(photoId);
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    if (bitmap) canvas.current?.getContext('2d')?.drawImage(bitmap, 0, 0);
  }, [bitmap]);
  return (
    <canvas
      ref={canvas}
      className="photo-thumb"
      width={bitmap?.width ?? 4}
      height={bitmap?.height ?? 3}
      aria-hidden="true"
    />
  );
}
