/** How photos and build files come in: chosen, dropped, pasted, or taken with the phone's camera. */
import { addCapture } from '../build/commands/captures.ts';
import { newBuild } from '../build/commands/new-build.ts';
import { BUILD_FILE_ENDING } from '../build/file-format.ts';
import { failure, type Outcome, success } from '../outcome.ts';
import { bench, change, newStamp } from './bench.ts';
import { openBuildFromFile } from './build-files.ts';
import { desk, goToStage, pickCapture } from './desk.ts';
import { runJob } from './jobs.ts';
import { withKeptPrinters } from './kept-printers.ts';
import { isMeasuredAlready, measurePhoto } from './measuring.ts';
import { keepPhoto } from './photo-keeping.ts';
import { adoptPicture, pictureOf } from './photos.ts';
import type { PhotoPicture } from './worktable/photo-shapes.tsx';

/** Key of the job that takes files in; its failure is shown wherever files are asked for. */
export const INTAKE = 'intake';

export const PHOTO_TYPES = 'image/jpeg,image/png,image/webp,image/heic,image/heif,.heic,.heif';

function stem(fileName: string): string {
  return fileName.replace(/\.[^.]+$/, '').replaceAll('_', ' ');
}

function isBuildFile({ name }: File): boolean {
  return name.toLowerCase().endsWith(BUILD_FILE_ENDING);
}

interface TakenPhoto {
  readonly blob: Blob;
  readonly name: string;
  readonly picture: PhotoPicture;
}

async function readPhoto(file: File): Promise<Outcome<TakenPhoto>> {
  try {
    const picture = await pictureOf(file);
    return success({ blob: file, name: stem(file.name) || 'Photo', picture });
  } catch {
    return failure(
      'not-a-picture',
      `“${file.name || 'The file'}” is not a picture that this browser can open, so it was not added. Use a JPEG, PNG or WebP; a phone that saves HEIC can be set to save JPEG, or share the photo to itself as JPEG first.`,
    );
  }
}

/** Puts photos into the build on the bench and measures each in turn. */
async function addPhotos(photos: readonly TakenPhoto[]): Promise<readonly string[]> {
  const added: string[] = [];
  for (const { blob, name, picture } of photos) {
    const photoId = crypto.randomUUID();
    adoptPicture(photoId, picture);
    await keepPhoto(photoId, blob);
    const { widthPx, heightPx } = picture;
    const stamp = newStamp();
    added.push(stamp.id);
    change('Add photo', (build) => addCapture(build, { stamp, photoId, photoName: name, widthPx, heightPx }));
  }
  pickCapture(added[0]);
  goToStage('capture');
  for (const captureId of added) {
    // What the maker has measured meanwhile, with a change of theirs, holds.
    if (!isMeasuredAlready(captureId)) await measurePhoto(captureId, 'Measure photo');
  }
  return added;
}

/**
 * Takes in files in whatever way they came. On the first screen photos begin a new build; in a build they are
 * added to it. A build file is opened. Tells the photos that were added.
 */
export async function takeIn(files: readonly File[]): Promise<readonly string[]> {
  const buildFile = files.find(isBuildFile);
  if (buildFile) {
    await openBuildFromFile(buildFile);
    return [];
  }
  if (files.length === 0) return [];
  const photos = await runJob(INTAKE, 'Opening the photo', async () => {
    const taken: TakenPhoto[] = [];
    for (const file of files) {
      const photo = await readPhoto(file);
      if (!photo.ok) return photo;
      taken.push(photo.value);
    }
    return success(taken);
  });
  if (!photos) return [];
  if (desk.getState().screen === 'start') {
    bench.open(withKeptPrinters(newBuild({ stamp: newStamp(), name: photos[0]!.name })));
  }
  return addPhotos(photos);
}
