import { open, stat } from 'node:fs/promises';
import { readPictureHeader } from '../worker/picture-header.ts';
import { refusalOf, unreadable } from '../worker/photo-problems.ts';
import { Unusable } from './command-line.ts';
import { type PhotoFile, readPhotoFile } from './read-photo.ts';

/** Enough for the header, and for the EXIF block and its thumbnail that lie before a JPEG's size. */
const HEADER_BYTES = 512 * 1024;

async function firstBytes(path: string): Promise<Uint8Array> {
  const file = await open(path);
  try {
    const bytes = new Uint8Array(HEADER_BYTES);
    const { bytesRead } = await file.read(bytes, 0, HEADER_BYTES, 0);
    return bytes.subarray(0, bytesRead);
  } finally {
    await file.close();
  }
}

/** The decoded photo; throws Unusable for a file that is none, or too large. */
export async function readPhotoInput(path: string): Promise<PhotoFile> {
  const facts = await stat(path).catch(() => undefined);
  if (!facts?.isFile()) throw new Unusable(`There is no photo "${path}".`);
  const header = await firstBytes(path).then(readPictureHeader);
  const refusal = refusalOf(facts.size, header);
  if (refusal) throw new Unusable(refusal.problem.message);
  try {
    return await readPhotoFile(path);
  } catch {
    throw new Unusable(unreadable(header.kind).problem.message);
  }
}
