/** The photos' bytes, by the ids that the build's captures name. */
const blobs = new Map<string, Promise<Blob | undefined>>();

/** Keeps a photo's bytes. */
export async function keepPhoto(photoId: string, blob: Blob): Promise<void> {
  blobs.set(photoId, Promise.resolve(blob));
}

/** Keeps a photo whose bytes are still on their way; whoever asks for it waits. */
export function keepPhotoToCome(photoId: string, coming: Promise<Blob>): void {
  blobs.set(
    photoId,
    coming.catch(() => undefined),
  );
}

export async function photoBlob(photoId: string): Promise<Blob | undefined> {
  return blobs.get(photoId);
}
