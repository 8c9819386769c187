import { readFile } from 'node:fs/promises';
import sharp from 'sharp';
import { readPhotoFacts } from '../capture/photo-facts.ts';
import type { PhotoFacts } from '../capture/types.ts';
import type { Raster } from '../vision/raster.ts';

export interface PhotoFile {
  readonly raster: Raster;
  readonly facts: PhotoFacts;
}

/** Decodes a JPEG, PNG or WebP file upright. Rejects with the decoder's words when it is no picture. */
export async function readPhotoFile(path: string): Promise<PhotoFile> {
  const bytes = await readFile(path);
  const facts = readPhotoFacts(new Uint8Array(bytes).buffer);
  const picture = sharp(bytes, { limitInputPixels: 60e6 });
  const { hasAlpha } = await picture.metadata();
  const upright = picture.autoOrient().toColourspace('srgb');
  // See-through pictures lie on white, as in the browser; the others need not be gone through for it.
  const { data, info } = await (hasAlpha ? upright.flatten({ background: '#fff' }) : upright)
    .ensureAlpha()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { raster: { width: info.width, height: info.height, data }, facts };
}
