/** Decodes photos with the browser's own decoder, inside the worker. */
import { readPhotoFacts } from '../capture/photo-facts.ts';
import type { PhotoFacts } from '../capture/types.ts';
import { type Outcome, success } from '../outcome.ts';
import type { Raster } from '../vision/raster.ts';
import { readPictureHeader } from './picture-header.ts';
import { isTooManyPixels, refusalOf, tooManyPixels, unreadable } from './photo-problems.ts';

export interface DecodedPhoto {
  readonly raster: Raster;
  readonly facts: PhotoFacts;
  /** Not larger than asked for; made only when asked for. */
  readonly preview?: ImageBitmap;
}

/** Canvases of phones refuse areas over about 16 megapixels; tiles of this side are read one after the other. */
const TILE_PX = 4096;

/** The photo upright, its pixels as the file has them: no colour management, which would move edges. */
export async function decodePhoto(file: Blob, previewPx = 0): Promise<Outcome<DecodedPhoto>> {
  const bytes = await file.arrayBuffer();
  const header = readPictureHeader(new Uint8Array(bytes));
  const refusal = refusalOf(bytes.byteLength, header);
  if (refusal) return refusal;
  let bitmap: ImageBitmap;
  try {
    bitmap = await createImageBitmap(new Blob([bytes]), {
      imageOrientation: 'from-image',
      colorSpaceConversion: 'none',
      premultiplyAlpha: 'none',
    });
  } catch {
    return unreadable(header.kind);
  }
  try {
    // Formats whose header we do not read are measured here.
    if (isTooManyPixels(bitmap.width, bitmap.height)) return tooManyPixels(bitmap.width, bitmap.height);
    const preview = previewPx > 0 ? await previewOf(bitmap, previewPx) : undefined;
    const raster = readPixels(bitmap);
    return success({ raster, facts: readPhotoFacts(bytes), ...(preview && { preview }) });
  } finally {
    bitmap.close();
  }
}

function previewOf(bitmap: ImageBitmap, longestPx: number): Promise<ImageBitmap> {
  const scale = Math.min(1, longestPx / Math.max(bitmap.width, bitmap.height));
  return createImageBitmap(bitmap, {
    resizeWidth: Math.max(1, Math.round(bitmap.width * scale)),
    resizeHeight: Math.max(1, Math.round(bitmap.height * scale)),
    resizeQuality: 'high',
  });
}

function readPixels(bitmap: ImageBitmap): Raster {
  const { width, height } = bitmap;
  const data = new Uint8ClampedArray(width * height * 4);
  const canvas = new OffscreenCanvas(Math.min(width, TILE_PX), Math.min(height, TILE_PX));
  const context = canvas.getContext('2d', { willReadFrequently: true });
  if (!context) throw new Error('this browser gives no canvas to read the photo with');
  for (let top = 0; top < height; top += TILE_PX) {
    for (let left = 0; left < width; left += TILE_PX) {
      const tileWidth = Math.min(TILE_PX, width - left);
      const tileHeight = Math.min(TILE_PX, height - top);
      // What is see-through in a PNG counts as white paper.
      context.fillStyle = '#ffffff';
      context.fillRect(0, 0, tileWidth, tileHeight);
      context.drawImage(bitmap, -left, -top);
      const tile = context.getImageData(0, 0, tileWidth, tileHeight).data;
      for (let row = 0; row < tileHeight; row++) {
        const line = tile.subarray(row * tileWidth * 4, (row + 1) * tileWidth * 4);
        data.set(line, ((top + row) * width + left) * 4);
      }
    }
  }
  return { width, height, data };
}
