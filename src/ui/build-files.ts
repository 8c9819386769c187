/** A build as one file: saved to it, opened from it. */
import { BUILD_FILE_ENDING, openBuildFile, packBuildFile } from '../build/file-format.ts';
import { success } from '../outcome.ts';
import { bench, newStamp } from './bench.ts';
import { desk } from './desk.ts';
import { download, fileStem } from './download.ts';
import { runJob } from './jobs.ts';
import { keepPhoto, photoBlob } from './photo-keeping.ts';

/** Key of the job that saves or opens a build file. */
export const BUILD_FILE = 'build file';

/** Saves the build on the bench, photos included, as one file. */
export async function saveBuildToFile(): Promise<void> {
  const { build } = bench.getState();
  const bytes = await runJob(BUILD_FILE, 'Putting the build into one file', async () => {
    const photos = new Map<string, Uint8Array>();
    for (const { photoId } of build.captures) {
      const blob = await photoBlob(photoId);
      if (blob) photos.set(photoId, new Uint8Array(await blob.arrayBuffer()));
    }
    return packBuildFile(build, photos);
  });
  if (bytes) download(`${fileStem(build.name)}${BUILD_FILE_ENDING}`, bytes, 'application/zip');
}

/** Opens a build file on the bench, as a build of its own beside those kept already. */
export async function openBuildFromFile(file: File): Promise<void> {
  const opened = await runJob(BUILD_FILE, 'Opening the build', async () => {
    const outcome = openBuildFile(new Uint8Array(await file.arrayBuffer()), newStamp());
    if (!outcome.ok) return outcome;
    for (const [photoId, bytes] of outcome.value.photos) {
      await keepPhoto(photoId, new Blob([bytes as BlobPart]));
    }
    return success(outcome.value.build);
  });
  if (!opened) return;
  bench.open(opened);
  desk.setState({ screen: 'build', stage: opened.pieces.length > 0 ? 'trace' : 'capture' });
}
