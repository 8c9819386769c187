import { failure, type Problem } from '../outcome.ts';
import type { DoorProblemCode } from './protocol.ts';
import { MOST_PHOTO_BYTES, MOST_PIXELS, type PictureHeader } from './picture-header.ts';

type PhotoFailure = { readonly ok: false; readonly problem: Problem<DoorProblemCode> };

export const PHOTO_CLOSED = failure(
  'photo-closed',
  'This photo is no longer open, so it was not measured. Choose it again.',
);

export function isTooManyPixels(widthPx: number, heightPx: number): boolean {
  return widthPx * heightPx > MOST_PIXELS;
}

/** Why a photo cannot be taken, from its size in bytes and its header alone; undefined when it may be tried. */
export function refusalOf(byteLength: number, header: PictureHeader): PhotoFailure | undefined {
  if (byteLength > MOST_PHOTO_BYTES) {
    return failure(
      'photo-too-large',
      `This photo file has ${(byteLength / 1e6).toFixed(0)} MB; up to ${MOST_PHOTO_BYTES / 1e6} MB can be measured. Save it as JPEG at full size and choose that file.`,
    );
  }
  const { widthPx = 0, heightPx = 0 } = header;
  return isTooManyPixels(widthPx, heightPx) ? tooManyPixels(widthPx, heightPx) : undefined;
}

export function tooManyPixels(widthPx: number, heightPx: number): PhotoFailure {
  return failure(
    'photo-too-large',
    `This photo has ${((widthPx * heightPx) / 1e6).toFixed(0)} megapixels; up to ${MOST_PIXELS / 1e6} can be measured. Take it with the camera's usual setting: 12 megapixels are plenty for a headpiece.`,
  );
}

/** Why a photo did not decode. */
export function unreadable(kind: PictureHeader['kind']): PhotoFailure {
  if (kind === 'heic') {
    return failure(
      'photo-unreadable',
      'This photo is in the HEIC or AVIF format, which this browser cannot read, so nothing was measured. Set the phone\'s camera to "most compatible" (JPEG), or send the photo to yourself as JPEG, and choose that.',
    );
  }
  if (kind === 'other') {
    return failure(
      'photo-unreadable',
      'This file is not a photo that can be read, so nothing was measured. Choose a JPEG, PNG or WebP file straight from the camera.',
    );
  }
  return failure(
    'photo-unreadable',
    'This photo is damaged or incomplete and could not be read, so nothing was measured. Copy it from the phone again, or take it anew.',
  );
}
