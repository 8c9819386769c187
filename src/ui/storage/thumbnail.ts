import type { Build } from '../../build/types.ts';

const LONG_SIDE_PX = 320;

/**
 * Makes the picture that the list of builds shows: the first photo, small. Gives nothing when the build has no
 * photo, or still has the one that its last picture was made of.
 */
export function createThumbnailer(
  photoOf: (photoId: string) => Promise<Blob | undefined>,
): (build: Build) => Promise<ArrayBuffer | undefined> {
  const made = new Map<string, string>();
  return async ({ id, captures }) => {
    const photoId = captures[0]?.photoId;
    if (photoId === undefined || made.get(id) === photoId) return undefined;
    const photo = await photoOf(photoId);
    if (!photo) return undefined;
    const picture = await smallJpeg(photo);
    made.set(id, photoId);
    return picture;
  };
}

async function smallJpeg(photo: Blob): Promise<ArrayBuffer> {
  // Decoded whole: browsers differ in whether they turn a picture before or after resizing it.
  const bitmap = await createImageBitmap(photo, { imageOrientation: 'from-image' });
  try {
    const share = Math.min(1, LONG_SIDE_PX / Math.max(bitmap.width, bitmap.height));
    const width = Math.max(1, Math.round(bitmap.width * share));
    const height = Math.max(1, Math.round(bitmap.height * share));
    const canvas = new OffscreenCanvas(width, height);
    const context = canvas.getContext('2d');
    if (!context) throw new Error('no canvas for the picture');
    context.imageSmoothingQuality = 'high';
    context.drawImage(bitmap, 0, 0, width, height);
    const jpeg = await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.8 });
    return await jpeg.arrayBuffer();
  } finally {
    bitmap.close();
  }
}
