/**
 * The demo: the Marsh Heron Warden's headpiece, an invented costume for a lantern festival. Its photos come with the
 * app; everything else is measured and traced before the maker's eyes by the same engine as their own photos.
 */
import { addPrinter } from '../../build/commands/build-setup.ts';
import { addCapture } from '../../build/commands/captures.ts';
import { newBuild } from '../../build/commands/new-build.ts';
import { renamePiece } from '../../build/commands/pieces.ts';
import { changeWearer } from '../../build/commands/wearers-and-foams.ts';
import { lastRevision } from '../../build/lookups.ts';
import type { Build, Piece } from '../../build/types.ts';
import { BAR_ACROSS_MM, BAR_ALONG_MM, PAPER_THICKNESS_MM } from '../../capture/card.ts';
import { failure, success } from '../../outcome.ts';
import { bench, newStamp } from '../bench.ts';
import { desk } from '../desk.ts';
import { runJob } from '../jobs.ts';
import { afterMeasuring, isMeasuredAlready, measurePhoto } from '../measuring.ts';
import { keepPhotoToCome } from '../photo-keeping.ts';

/** Key of the job that fetches the demo's photos. */
export const DEMO = 'demo';

interface DemoPhoto {
  readonly file: string;
  readonly name: string;
  readonly thicknessMm: number;
  /** In the order of the pieces' left edges in the photo. */
  readonly pieces: readonly string[];
}

const PHOTOS: readonly DemoPhoto[] = [
  { file: 'crown-front.jpg', name: 'Crown front', thicknessMm: 10, pieces: ['Crown front'] },
  {
    file: 'guards-and-crest.jpg',
    name: 'Guards and crest',
    thicknessMm: PAPER_THICKNESS_MM,
    pieces: ['Guard, left', 'Crest fin', 'Guard, right'],
  },
  { file: 'brow-band.jpg', name: 'Brow band', thicknessMm: PAPER_THICKNESS_MM, pieces: ['Brow band'] },
];

const DEMO_BARS = { acrossMm: BAR_ACROSS_MM, alongMm: BAR_ALONG_MM };
const FOLDER = `${import.meta.env.BASE_URL}demo/`;

async function fetchPhoto(file: string): Promise<Blob> {
  const response = await fetch(FOLDER + file);
  if (!response.ok) throw new Error(`${file}: ${response.status}`);
  return response.blob();
}

/** Names the pieces of a demo photo, from left to right. */
function withNames(build: Build, captureId: string, names: readonly string[]): Build {
  const leftEdge = (piece: Piece) => lastRevision(piece).frame?.box.minU ?? 0;
  return build.pieces
    .filter((piece) => piece.captureId === captureId)
    .sort((a, b) => leftEdge(a) - leftEdge(b))
    .reduce((named, { id: pieceId }, index) => {
      const name = names[index];
      return name === undefined ? named : renamePiece(named, { pieceId, name });
    }, build);
}

interface OnBench {
  readonly captureId: string;
  readonly photo: DemoPhoto;
}

/** Lays out the build with its three photos, which may still be on their way. */
function layOut(fetched: readonly Promise<Blob>[]): readonly OnBench[] {
  let build = newBuild({ stamp: newStamp(), name: 'Marsh Heron Warden’s headpiece' });
  build = changeWearer(build, { wearerId: build.wearerId!, name: 'Wren, warden', girthMm: 580 });
  // The demo's cards were printed true to size, and so their bars were measured.
  build = addPrinter(build, { stamp: newStamp(), name: 'Lantern guild printer', check: DEMO_BARS });
  const laid = PHOTOS.map((photo, index) => {
    const stamp = newStamp();
    const photoId = crypto.randomUUID();
    keepPhotoToCome(photoId, fetched[index]!);
    build = addCapture(build, { stamp, photoId, photoName: photo.name, thicknessMm: photo.thicknessMm });
    return { captureId: stamp.id, photo };
  });
  bench.open(build);
  desk.setState({ screen: 'build', stage: 'capture', captureId: laid[0]!.captureId, pieceId: undefined });
  return laid;
}

/** Opens the demo: the first photo shows as soon as it is there, then each is measured and traced in turn. */
export async function openDemo(): Promise<void> {
  const fetched = PHOTOS.map(({ file }) => fetchPhoto(file));
  for (const later of fetched.slice(1)) later.catch(() => undefined);
  const laid = await runJob(DEMO, 'Fetching the demo photos', async () => {
    try {
      await fetched[0];
    } catch {
      return failure(
        'demo-missing',
        'The demo photos could not be fetched, so the demo cannot open. Check the connection and try again; your own photos need none.',
      );
    }
    return success(layOut(fetched));
  });
  if (!laid) return;
  for (const { captureId, photo } of laid)
    afterMeasuring(captureId, (build) => withNames(build, captureId, photo.pieces));
  for (const { captureId, photo } of laid) {
    // The maker may have changed something meanwhile: theirs is the measure that holds.
    if (!isMeasuredAlready(captureId)) await measurePhoto(captureId, `Measure ${photo.name}`);
  }
}
