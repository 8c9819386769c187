/** The photos' bytes, by the ids that the build's captures name: in this browser's storage, or on their way to it. */
import { storage } from './storage-here.ts';

/** Photos that are not stored yet, or that the browser would not store: known until the page is closed. */
const inHand = new Map<string, Promise<Blob | undefined>>();

/** Keeps a photo's bytes; resolves when they are stored, or will not be. */
export async function keepPhoto(photoId: string, photo: Blob): Promise<void> {
  inHand.set(photoId, Promise.resolve(photo));
  // A refusal is told when the build itself is saved, for that meets the same refusal.
  const outcome = await storage.keepPhoto(photoId, photo);
  if (outcome.ok) inHand.delete(photoId);
}

/** Keeps a photo whose bytes are still on their way; whoever asks for it waits. */
export function keepPhotoToCome(photoId: string, coming: Promise<Blob>): void {
  inHand.set(
    photoId,
    coming.then(
      (photo) => {
        void keepPhoto(photoId, photo);
        return photo;
      },
      () => undefined,
    ),
  );
}

/** The photo's bytes, or undefined when they are not kept in this browser. */
export async function photoBlob(photoId: string): Promise<Blob | undefined> {
  const coming = inHand.get(photoId);
  if (coming) return coming;
  const outcome = await storage.photo(photoId);
  return outcome.ok ? outcome.value : undefined;
}
