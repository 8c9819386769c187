/**
 * A build in one file: a zip of `build.json` and the photos as they were taken, `photos/<id>`. Whatever comes in
 * from outside is measured before it is unpacked, and checked before it is believed.
 */
import { strFromU8, strToU8, type Zippable, zipSync } from 'fflate';
import { failure, type Outcome, success } from '../outcome.ts';
import { withFreshIds } from './commands/fresh-ids.ts';
import type { Stamp } from './commands/arguments.ts';
import { buildSchema } from './schema.ts';
import type { Build } from './types.ts';
import { unpackEntry, type ZipEntry, zipDirectory } from './zip-directory.ts';

export const BUILD_FILE_ENDING = '.foamwright';

const MEGABYTE = 1e6;
/** The largest that a build file, its document and a photo may be. */
export const FILE_LIMITS = {
  fileBytes: 300 * MEGABYTE,
  documentBytes: 20 * MEGABYTE,
  photoBytes: 60 * MEGABYTE,
  entries: 200,
} as const;

const DOCUMENT = 'build.json';
const PHOTO = /^photos\/([\w-]{1,120})$/u;
const FORMAT_VERSION = 1;

export type FileProblemCode = 'too-large' | 'not-a-build' | 'newer-format' | 'damaged' | 'not-writable';

export type PhotoBytes = ReadonlyMap<string, Uint8Array>;

/** The photos by id; those that the file lacks are left out by whoever packs it. */
export function packBuildFile(
  build: Build,
  photos: PhotoBytes,
): Outcome<Uint8Array<ArrayBuffer>, FileProblemCode> {
  const checked = buildSchema.safeParse(build);
  if (!checked.success) {
    const where = checked.error.issues[0]?.path.join('.') ?? '';
    return failure(
      'not-writable',
      `The build holds something that no file can keep (${where}). Undo the last change and save again.`,
    );
  }
  const files: Zippable = { [DOCUMENT]: [strToU8(JSON.stringify(build)), { level: 6 }] };
  let total = 0;
  for (const { photoId } of build.captures) {
    const bytes = photos.get(photoId);
    if (!bytes) continue;
    // Photos are compressed already.
    files[`photos/${photoId}`] = [bytes, { level: 0 }];
    total += bytes.byteLength;
  }
  if (total > FILE_LIMITS.fileBytes - FILE_LIMITS.documentBytes) return tooLarge(total);
  return success(zipSync(files));
}

export interface OpenedBuild {
  readonly build: Build;
  /** By the photo ids of `build`. */
  readonly photos: PhotoBytes;
  /** Names of the photos that the file lacks: their pieces are there, but cannot be traced again. */
  readonly missingPhotos: readonly string[];
}

/**
 * Reads a build file. The build and its photos get new ids from the stamp, so that opening a file never
 * overwrites what is already kept under the old ones.
 */
export function openBuildFile(bytes: Uint8Array, stamp: Stamp): Outcome<OpenedBuild, FileProblemCode> {
  if (bytes.byteLength > FILE_LIMITS.fileBytes) return tooLarge(bytes.byteLength);
  const entries = zipDirectory(bytes, FILE_LIMITS.entries)?.filter(isWanted);
  if (!entries?.some(({ name }) => name === DOCUMENT)) {
    return failure(
      'not-a-build',
      `This is not a build saved by Foamwright, or only a part of one. Choose a file that ends in ${BUILD_FILE_ENDING}; if it was sent to you, have it sent again.`,
    );
  }
  const heavy = entries.find(isTooLarge);
  if (heavy) return tooLarge(heavy.unpackedBytes);
  if (entries.reduce((sum, { unpackedBytes }) => sum + unpackedBytes, 0) > FILE_LIMITS.fileBytes) {
    return tooLarge(bytes.byteLength);
  }
  const files = unpack(bytes, entries);
  return files ? readFiles(files, stamp) : damaged();
}

const isWanted = ({ name }: ZipEntry) => name === DOCUMENT || PHOTO.test(name);

function isTooLarge({ name, unpackedBytes }: ZipEntry): boolean {
  return unpackedBytes > (name === DOCUMENT ? FILE_LIMITS.documentBytes : FILE_LIMITS.photoBytes);
}

/** The wanted files, or undefined when one does not come out as the directory says. */
function unpack(
  bytes: Uint8Array,
  entries: readonly ZipEntry[],
): ReadonlyMap<string, Uint8Array> | undefined {
  const files = new Map<string, Uint8Array>();
  for (const entry of entries) {
    const content = unpackEntry(bytes, entry);
    if (!content || files.has(entry.name)) return undefined;
    files.set(entry.name, content);
  }
  return files;
}

function readFiles(
  files: ReadonlyMap<string, Uint8Array>,
  stamp: Stamp,
): Outcome<OpenedBuild, FileProblemCode> {
  const document = parseDocument(files.get(DOCUMENT)!);
  if (!document.ok) return document;
  const { build, photoIds } = withFreshIds(document.value, stamp);
  const photos = new Map<string, Uint8Array>();
  for (const [formerId, newId] of photoIds) {
    const content = files.get(`photos/${formerId}`);
    if (content) photos.set(newId, content);
  }
  const missingPhotos = build.captures
    .filter(({ photoId }) => !photos.has(photoId))
    .map(({ photoName }) => photoName);
  return success({ build, photos, missingPhotos });
}

function parseDocument(bytes: Uint8Array): Outcome<Build, FileProblemCode> {
  let json: unknown;
  try {
    json = JSON.parse(strFromU8(bytes));
  } catch {
    return damaged();
  }
  return checkBuild(json);
}

/** The build that outside data describes, e.g. a stored one; failures are worded for the maker. */
export function checkBuild(data: unknown): Outcome<Build, FileProblemCode> {
  const version: unknown =
    typeof data === 'object' && data !== null && 'formatVersion' in data ? data.formatVersion : undefined;
  if (typeof version === 'number' && version > FORMAT_VERSION) {
    return failure(
      'newer-format',
      'This build was saved by a newer Foamwright than this one, which cannot read it without losing work. Load the newest Foamwright and open it there.',
    );
  }
  const checked = buildSchema.safeParse(data);
  if (checked.success) return success(checked.data);
  const issue = checked.error.issues[0];
  return damaged(issue && `${issue.path.join('.')}: ${issue.message}`);
}

function tooLarge(bytes: number): Outcome<never, FileProblemCode> {
  const { fileBytes, photoBytes } = FILE_LIMITS;
  return failure(
    'too-large',
    `This build needs ${(bytes / MEGABYTE).toFixed(0)} MB; a build file may have ${fileBytes / MEGABYTE} MB, and a photo in it ${photoBytes / MEGABYTE} MB. Take the photos smaller, or split the build in two.`,
  );
}

function damaged(detail?: string): Outcome<never, FileProblemCode> {
  return failure(
    'damaged',
    `This build file is damaged and was not opened${detail ? ` (${detail})` : ''}; nothing of yours has changed. Copy the file from where it came from again, or open an older one.`,
  );
}
