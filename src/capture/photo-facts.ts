import ExifReader from 'exifreader';
import type { PhotoFacts } from './types.ts';

function numberOf(value: unknown): number | undefined {
  const candidate: unknown = Array.isArray(value) ? value[0] : value;
  return typeof candidate === 'number' && Number.isFinite(candidate) && candidate > 0 ? candidate : undefined;
}

function textOf(value: string | undefined): string | undefined {
  const text = value?.trim();
  return text ? text : undefined;
}

/**
 * What a photo file's header says about the camera (EXIF; CIPA DC-008 FocalLengthIn35mmFilm).
 * A file without a header, or with a damaged one, gives no facts: it never throws.
 */
export function readPhotoFacts(bytes: ArrayBuffer): PhotoFacts {
  try {
    const tags = ExifReader.load(bytes, { includeUnknown: false });
    const focalLength35Mm = numberOf(tags.FocalLengthIn35mmFilm?.value);
    const make = textOf(tags.Make?.description);
    const model = textOf(tags.Model?.description);
    return {
      ...(focalLength35Mm !== undefined && { focalLength35Mm }),
      ...(make !== undefined && { make }),
      ...(model !== undefined && { model }),
    };
  } catch {
    return {};
  }
}
