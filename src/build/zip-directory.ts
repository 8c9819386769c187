/**
 * Reads zip files from outside with suspicion: what the directory says of every entry is known before anything
 * is unpacked, nothing unpacks to more than it says, and check sums are compared, which fflate alone does not do
 * (PKWARE APPNOTE 6.3, sections 4.3.7, 4.3.12 and 4.3.16). The large-file extension (zip64) is not read.
 */
import { inflateSync } from 'fflate';

export interface ZipEntry {
  readonly name: string;
  readonly method: number;
  readonly localHeaderAt: number;
  readonly packedBytes: number;
  readonly unpackedBytes: number;
  readonly crc32: number;
}

const END_SIGNATURE = 0x06054b50;
const END_BYTES = 22;
const LONGEST_COMMENT = 0xffff;
const ENTRY_SIGNATURE = 0x02014b50;
const ENTRY_BYTES = 46;
const LOCAL_BYTES = 30;
const STORED = 0;
const DEFLATED = 8;

/** The entries in directory order; undefined when the bytes are no whole zip file or have over `most` entries. */
export function zipDirectory(bytes: Uint8Array, most: number): readonly ZipEntry[] | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = endOfDirectory(view);
  if (end === undefined) return undefined;
  const count = view.getUint16(end + 10, true);
  if (count > most) return undefined;
  let at = view.getUint32(end + 16, true);
  const entries: ZipEntry[] = [];
  for (let i = 0; i < count; i++) {
    if (at + ENTRY_BYTES > end || view.getUint32(at, true) !== ENTRY_SIGNATURE) return undefined;
    const nameBytes = view.getUint16(at + 28, true);
    const name = bytes.subarray(at + ENTRY_BYTES, at + ENTRY_BYTES + nameBytes);
    entries.push({
      name: new TextDecoder().decode(name),
      method: view.getUint16(at + 10, true),
      localHeaderAt: view.getUint32(at + 42, true),
      crc32: view.getUint32(at + 16, true),
      packedBytes: view.getUint32(at + 20, true),
      unpackedBytes: view.getUint32(at + 24, true),
    });
    at += ENTRY_BYTES + nameBytes + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return entries;
}

/** The end record lies last, but for a comment of unknown length. */
function endOfDirectory(view: DataView): number | undefined {
  const first = Math.max(0, view.byteLength - END_BYTES - LONGEST_COMMENT);
  for (let at = view.byteLength - END_BYTES; at >= first; at--) {
    if (view.getUint32(at, true) === END_SIGNATURE) return at;
  }
  return undefined;
}

/** The content of an entry; undefined when it is not what the directory says. */
export function unpackEntry(bytes: Uint8Array, entry: ZipEntry): Uint8Array | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { localHeaderAt: at, packedBytes, unpackedBytes, method } = entry;
  if (at + LOCAL_BYTES > view.byteLength) return undefined;
  const start = at + LOCAL_BYTES + view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
  const packed = bytes.subarray(start, start + packedBytes);
  const content =
    method === STORED ? packed.slice() : method === DEFLATED ? inflated(packed, unpackedBytes) : undefined;
  const isAsStated = content?.byteLength === unpackedBytes && crc32(content) === entry.crc32;
  return isAsStated ? content : undefined;
}

/** Into a buffer of the stated size, which inflateSync never goes beyond. */
function inflated(packed: Uint8Array, unpackedBytes: number): Uint8Array | undefined {
  try {
    return inflateSync(packed, { out: new Uint8Array(unpackedBytes) });
  } catch {
    return undefined;
  }
}

const CRC_TABLE = Uint32Array.from({ length: 256 }, (_, byte) => {
  let crc = byte;
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  return crc;
});

/** CRC-32 as in zip files (ISO 3309). */
export function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (let i = 0; i < bytes.length; i++) crc = (crc >>> 8) ^ CRC_TABLE[(crc ^ bytes[i]!) & 0xff]!;
  return ~crc >>> 0;
}
