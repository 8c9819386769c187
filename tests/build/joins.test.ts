import { describe, expect, it } from 'vitest';
import { addCapture, removeCapture, setCapture } from '../../src/build/commands/captures.ts';
import { setJoin, takeApart } from '../../src/build/commands/joins.ts';
import { renamePiece } from '../../src/build/commands/pieces.ts';
import { replaceTracedPieces } from '../../src/build/commands/traced-pieces.ts';
import { openBuildFile, packBuildFile } from '../../src/build/file-format.ts';
import { joinOf, leadOf } from '../../src/build/join-lookups.ts';
import { captureOptionsFor, lastRevision } from '../../src/build/lookups.ts';
import { createBuildStore } from '../../src/build/store.ts';
import type { Build } from '../../src/build/types.ts';
import type { JoinedPhotos } from '../../src/capture/join-types.ts';
import type { JoinedPiece } from '../../src/trace/join-traces.ts';
import type { TracedEdge, TracedPiece } from '../../src/trace/types.ts';
import { sampleBuild, sampleCapture, stamp, tracedBox, traceOf } from './sample-build.ts';

const options = (build: Build, captureId: string) =>
  captureOptionsFor(build, build.captures.find(({ id }) => id === captureId)!, { focalLength35Mm: 26 });

/** Two photos: the first shows a left part and a small piece, the second the right part. */
function twoPhotos(): Build {
  let build = addCapture(sampleBuild(), {
    stamp: stamp('photo-2'),
    photoId: 'bytes-2',
    photoName: 'rest.jpg',
  });
  build = setCapture(build, {
    captureId: 'photo-2',
    capture: sampleCapture(),
    options: options(build, 'photo-2'),
  });
  return replaceTracedPieces(build, {
    captureId: 'photo-2',
    trace: traceOf(tracedBox(20, 20, 100, 80)),
    stamp: stamp('trace-2'),
  });
}

const JOINED: JoinedPhotos = {
  captures: [sampleCapture(), { ...sampleCapture(), rmsPx: 0.2 }],
  covariance: [],
  shared: [{ cardId: 3, photos: [0, 1], gapMm: 0.05 }],
  warnings: [{ code: 'one-shared-card', cardId: 3, message: 'Only card 3 ties photo 2 to the others.' }],
};

/** A box that both photos saw parts of. */
function joinedPiece(traced: TracedPiece): JoinedPiece {
  const edge = (one: TracedEdge) => ({ ...one, photos: one.measured.map((_, i) => (i < 3 ? 0 : 1)) });
  return {
    ...traced,
    outer: edge(traced.outer),
    holes: traced.holes.map(edge),
    photos: [0, 1],
    toleranceSamePrinterMm: 0.1,
    overlap: { maxMm: 0.1, meanMm: 0.04, lengthMm: 60 },
    openingOverlap: { maxMm: 0, meanMm: 0, lengthMm: 0 },
  };
}

function joined(build: Build): Build {
  return setJoin(build, {
    stamp: stamp('join-1'),
    captureIds: ['photo-1', 'photo-2'],
    options: [options(build, 'photo-1'), options(build, 'photo-2')],
    joined: JOINED,
    trace: { pieces: [joinedPiece(tracedBox(0, 0, 200, 80))], warnings: [] },
  });
}

describe('joined photos', () => {
  it('keep both captures, and show one piece with its tolerance as a piece of the first', () => {
    const build = joined(twoPhotos());
    expect(build.captures.map(({ capture }) => capture?.rmsPx)).toEqual([0.1, 0.2]);
    expect(build.pieces).toHaveLength(1);
    const [piece] = build.pieces;
    expect(piece!.captureId).toBe('photo-1');
    expect(lastRevision(piece!)).toMatchObject({
      toleranceMm: 0.3,
      why: 'joined from 2 photos',
      origin: 'trace',
    });
    const join = joinOf(build, 'photo-2')!;
    expect(join.shared).toEqual(JOINED.shared);
    expect(join.pieces[0]).toMatchObject({ photos: [0, 1], toleranceSamePrinterMm: 0.1 });
    expect(join.pieces[0]!.longMm).toBeCloseTo(200, 6);
    expect(join.notes).toEqual(['Only card 3 ties photo 2 to the others.']);
    expect([leadOf(build, 'photo-2'), leadOf(build, 'another')]).toEqual(['photo-1', 'another']);
  });

  it("carry on the maker's work on the part that the first photo showed, and leave worked parts of the others", () => {
    let build = renamePiece(twoPhotos(), { pieceId: 'trace-1-1', name: 'Long brow band' });
    build = renamePiece(build, { pieceId: 'trace-2-1', name: 'Right end, by hand' });
    const after = joined(build);
    expect(after.pieces.map(({ id, name }) => [id, name])).toEqual([
      ['trace-1-1', 'Long brow band'],
      ['trace-2-1', 'Right end, by hand'],
    ]);
  });

  it('are one step to undo, and can be taken apart, the joined piece staying', () => {
    const store = createBuildStore(twoPhotos());
    const before = store.getState().build;
    store.run('Join photos', joined);
    expect(store.getState().build.joins).toHaveLength(1);
    store.undo();
    expect(store.getState().build).toEqual(before);
    const apart = takeApart(joined(twoPhotos()), { joinId: 'join-1' });
    expect(apart.joins).toBeUndefined();
    expect(apart.pieces).toHaveLength(1);
    expect(() => takeApart(apart, { joinId: 'join-1' })).toThrow('no join');
  });

  it('give way to a join anew, and to the removal of a photo', () => {
    const again = joined(joined(twoPhotos()));
    expect(again.joins).toHaveLength(1);
    const removed = removeCapture(again, { captureId: 'photo-2' });
    expect(removed.joins).toBeUndefined();
    expect(removed.pieces).toHaveLength(1);
  });

  it('go into a build file with all photos, and come out as they were', () => {
    const build = joined(twoPhotos());
    const photos = new Map(build.captures.map(({ photoId }, k) => [photoId, new Uint8Array([k, 1, 2])]));
    const packed = packBuildFile(build, photos);
    if (!packed.ok) throw new Error(packed.problem.message);
    const opened = openBuildFile(packed.value, stamp('copy'));
    if (!opened.ok) throw new Error(opened.problem.message);
    expect(opened.value.build.joins).toEqual(build.joins);
    expect(opened.value.photos.size).toBe(2);
    expect(opened.value.missingPhotos).toEqual([]);
  });

  it('are refused when they name a photo that is not there', () => {
    const build = joined(twoPhotos());
    const { captures: _, ...rest } = build;
    const packed = packBuildFile({ ...rest, captures: build.captures.slice(0, 1) }, new Map());
    expect(packed.ok).toBe(false);
  });
});
