/** Photos ready to be looked at: decoded once, a few kept, the rest let go. */
import { useEffect, useState } from 'react';
import { photoBlob } from './photo-keeping.ts';
import type { PhotoPicture } from './worktable/photo-shapes.tsx';

/** Long side of the reduced copy, px: sharper than any worktable, cheap to pan. */
const REDUCED_PX = 2048;
/** Pictures kept decoded; a reduced one takes up to 16 MB. */
const KEPT = 4;

async function load(photoId: string): Promise<PhotoPicture | undefined> {
  const blob = await photoBlob(photoId);
  return blob && pictureOf(blob);
}

/** Decodes a photo for the screen, upright. Rejects when the browser cannot read it as a picture. */
export async function pictureOf(blob: Blob): Promise<PhotoPicture> {
  const full = new Image();
  full.src = URL.createObjectURL(blob);
  try {
    await full.decode();
  } finally {
    URL.revokeObjectURL(full.src);
  }
  const { naturalWidth: widthPx, naturalHeight: heightPx } = full;
  const share = Math.min(1, REDUCED_PX / Math.max(widthPx, heightPx));
  // From the element, not the bytes: browsers differ in whether the bytes' EXIF orientation is applied before resizing.
  const reduced = await createImageBitmap(full, {
    resizeWidth: Math.max(1, Math.round(widthPx * share)),
    resizeHeight: Math.max(1, Math.round(heightPx * share)),
    resizeQuality: 'medium',
  });
  return { widthPx, heightPx, reduced, full };
}

const kept = new Map<string, Promise<PhotoPicture | undefined>>();

/** Keeps a picture that was decoded on the way in, so that it need not be decoded again. */
export function adoptPicture(photoId: string, decoded: PhotoPicture): void {
  kept.set(photoId, Promise.resolve(decoded));
  forgetOldest();
}

function forgetOldest(): void {
  const oldest = kept.keys().next().value;
  // Not closed: it may still be on the table. It goes with its last user.
  if (kept.size > KEPT && oldest !== undefined) kept.delete(oldest);
}

function picture(photoId: string): Promise<PhotoPicture | undefined> {
  const found = kept.get(photoId);
  if (found) {
    // The one asked for last is let go last.
    kept.delete(photoId);
    kept.set(photoId, found);
    return found;
  }
  const loading = load(photoId).catch(() => undefined);
  kept.set(photoId, loading);
  forgetOldest();
  return loading;
}

/** Small copies for lists; they take little, and let go of the picture they were made from. */
const thumbs = new Map<string, Promise<ImageBitmap | undefined>>();
const THUMB_PX = 160;

function thumb(photoId: string): Promise<ImageBitmap | undefined> {
  const found = thumbs.get(photoId);
  if (found) return found;
  const making = picture(photoId).then((large) => {
    if (!large) return undefined;
    const { width, height } = large.reduced;
    const share = THUMB_PX / Math.max(width, height);
    return createImageBitmap(large.reduced, {
      resizeWidth: Math.max(1, Math.round(width * share)),
      resizeHeight: Math.max(1, Math.round(height * share)),
      resizeQuality: 'medium',
    });
  });
  thumbs.set(photoId, making);
  return making;
}

/** What was loaded for an id, or undefined while it is still on its way. */
function useLoaded<T>(
  id: string | undefined,
  load: (id: string) => Promise<T>,
): { readonly value: T } | undefined {
  const [loaded, setLoaded] = useState<{ readonly of: string; readonly value: T } | undefined>(undefined);
  useEffect(() => {
    if (id === undefined) return;
    let isWanted = true;
    void load(id).then((value) => {
      if (isWanted) setLoaded({ of: id, value });
    });
    return () => {
      isWanted = false;
    };
  }, [id, load]);
  return loaded && loaded.of === id ? loaded : undefined;
}

/** A small copy of a photo, once it is ready. */
export function useThumb(photoId: string): ImageBitmap | undefined {
  return useLoaded(photoId, thumb)?.value;
}

type PictureState =
  | { readonly kind: 'loading' }
  | { readonly kind: 'missing' }
  | { readonly kind: 'here'; readonly picture: PhotoPicture };

/** The picture of a photo, as it becomes ready. */
export function usePicture(photoId: string | undefined): PictureState {
  const loaded = useLoaded(photoId, picture);
  if (!loaded) return { kind: 'loading' };
  return loaded.value ? { kind: 'here', picture: loaded.value } : { kind: 'missing' };
}
