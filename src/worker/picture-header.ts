/**
 * What the first bytes of a picture file say, before anything is decoded: a picture too large for memory is
 * refused by its header, and one that no browser decodes is told apart from a damaged one.
 */
type PictureKind = 'jpeg' | 'png' | 'webp' | 'heic' | 'other';

export interface PictureHeader {
  readonly kind: PictureKind;
  /** As stored, before EXIF orientation; undefined where the header does not tell. */
  readonly widthPx?: number;
  readonly heightPx?: number;
}

/** The largest picture taken, px in all: 50 megapixels and what cameras sold as such really have. */
export const MOST_PIXELS = 60e6;
export const MOST_PHOTO_BYTES = 60e6;

/** Brands of ISO base media files that hold HEVC or AV1 stills (ISO/IEC 23008-12, annex B). */
const HEIC_BRANDS = new Set(['heic', 'heix', 'heim', 'heis', 'hevc', 'hevx', 'mif1', 'msf1', 'avif', 'avis']);

export function readPictureHeader(bytes: Uint8Array): PictureHeader {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const text = (at: number, length: number) => String.fromCharCode(...bytes.subarray(at, at + length));
  if (bytes.byteLength < 30) return { kind: 'other' };
  if (view.getUint16(0) === 0xffd8) return { kind: 'jpeg', ...jpegSize(view) };
  if (text(1, 3) === 'PNG') {
    return { kind: 'png', widthPx: view.getUint32(16), heightPx: view.getUint32(20) };
  }
  if (text(0, 4) === 'RIFF' && text(8, 4) === 'WEBP') return { kind: 'webp', ...webpSize(view, text(12, 4)) };
  if (text(4, 4) === 'ftyp' && HEIC_BRANDS.has(text(8, 4))) return { kind: 'heic' };
  return { kind: 'other' };
}

type Size = Omit<PictureHeader, 'kind'>;

/** Walks the segments to the frame header (ITU-T T.81, B.2.2). */
function jpegSize(view: DataView): Size {
  let at = 2;
  while (at + 9 < view.byteLength && view.getUint8(at) === 0xff) {
    const marker = view.getUint8(at + 1);
    const isFrame = marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
    if (isFrame) return { heightPx: view.getUint16(at + 5), widthPx: view.getUint16(at + 7) };
    // 0xff may be repeated as filling before a marker.
    at += marker === 0xff ? 1 : 2 + view.getUint16(at + 2);
  }
  return {};
}

/** The three kinds of WebP (RFC 9649, sections 2.5 to 2.7). */
function webpSize(view: DataView, chunk: string): Size {
  const uint24 = (at: number) => view.getUint16(at, true) + view.getUint8(at + 2) * 0x10000;
  if (chunk === 'VP8X') return { widthPx: uint24(24) + 1, heightPx: uint24(27) + 1 };
  if (chunk === 'VP8 ') {
    return { widthPx: view.getUint16(26, true) & 0x3fff, heightPx: view.getUint16(28, true) & 0x3fff };
  }
  if (chunk === 'VP8L') {
    const packed = view.getUint32(21, true);
    return { widthPx: (packed & 0x3fff) + 1, heightPx: ((packed >>> 14) & 0x3fff) + 1 };
  }
  return {};
}
