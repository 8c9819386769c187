import { describe, expect, it } from 'vitest';
import { setCapture, setThickness } from '../../src/build/commands/captures.ts';
import {
  addRevision,
  includePiece,
  renamePiece,
  revertToRevision,
  setAxis,
  setPieceCounts,
  setWrap,
} from '../../src/build/commands/pieces.ts';
import { replaceTracedPieces } from '../../src/build/commands/traced-pieces.ts';
import { captureOptionsFor, isCaptureCurrent, lastRevision } from '../../src/build/lookups.ts';
import { planeToImage } from '../../src/capture/camera.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { CAMERA, sampleBuild, sampleCapture, stamp, tracedBox, traceOf } from './sample-build.ts';

const LEFT = 'trace-1-1';
const RIGHT = 'trace-1-2';

describe('pieces traced from a photo', () => {
  it('come with an outline, their holes, a tolerance, and the chosen foam', () => {
    const build = sampleBuild();
    expect(build.pieces.map(({ id, name }) => [id, name])).toEqual([
      [LEFT, 'Piece 1'],
      [RIGHT, 'Piece 2'],
    ]);
    const [piece] = build.pieces;
    expect(piece).toMatchObject({ foamId: 'foam-5', count: 1, mirroredCount: 0, included: true });
    const revision = lastRevision(piece!);
    expect(revision.lines.map(({ kind }) => kind)).toEqual(['cut', 'cutout']);
    expect(revision.toleranceMm).toBe(0.3);
  });

  it('say how far cleaning moved their lines, holes included', () => {
    const traced = tracedBox(0, 0, 120, 80);
    const edge = (points: number, movedMaxMm: number, movedMeanMm: number) => ({
      ...traced.outer,
      measured: Array.from({ length: points }, (_, x) => ({ x, y: 0 })),
      movedMaxMm,
      movedMeanMm,
    });
    const { pieces } = replaceTracedPieces(sampleBuild(), {
      captureId: 'photo-1',
      trace: traceOf({ ...traced, outer: edge(300, 0.1, 0.04), holes: [edge(100, 0.15, 0.08)] }),
      stamp: stamp('trace-2'),
    });
    // (300 * 0.04 + 100 * 0.08) / 400
    expect(lastRevision(pieces[0]!).traced).toMatchObject({ movedMaxMm: 0.15, color: '#eeeeee' });
    expect(lastRevision(pieces[0]!).traced!.movedMeanMm).toBeCloseTo(0.05, 12);
  });

  it('keep what the maker set when the photo is traced again, in whatever order they are found', () => {
    let build = sampleBuild();
    build = renamePiece(build, { pieceId: LEFT, name: 'Crown front' });
    build = setPieceCounts(build, { pieceId: LEFT, count: 2, mirroredCount: 2 });
    build = includePiece(build, { pieceId: LEFT, included: false });
    const again = replaceTracedPieces(build, {
      captureId: 'photo-1',
      trace: traceOf(tracedBox(161, 20, 90, 140), tracedBox(1, 0, 119, 81), tracedBox(300, 0, 40, 40)),
      stamp: stamp('trace-2'),
    });
    expect(again.pieces.map(({ id, name }) => [id, name])).toEqual([
      [LEFT, 'Crown front'],
      [RIGHT, 'Piece 2'],
      ['trace-2-3', 'Piece 3'],
    ]);
    expect(again.pieces[0]).toMatchObject({ count: 2, mirroredCount: 2, included: false });
    expect(again.pieces[0]!.revisions).toHaveLength(1);
    expect(lastRevision(again.pieces[0]!).lines[0]!.path.start.x).toBeCloseTo(1, 6);
  });

  it('keep their names when a slim one grows by its side wall, and never take a piece beside them or within them', () => {
    const traced = (...boxes: Parameters<typeof tracedBox>[]) =>
      traceOf(...boxes.map((box) => tracedBox(...box)));
    const first = (build: ReturnType<typeof sampleBuild>, trace: ReturnType<typeof traceOf>, id: string) =>
      replaceTracedPieces(build, { captureId: 'photo-1', trace, stamp: stamp(id) });
    let build = first(sampleBuild(), traced([0, 0, 200, 10], [0, 100, 200, 200]), 'trace-2');
    const [strip, disc] = build.pieces.slice(-2);
    build = renamePiece(build, { pieceId: strip!.id, name: 'Lacing strip' });
    build = renamePiece(build, { pieceId: disc!.id, name: 'Sun disc' });
    // Grown by 8 mm all round, with a new strip beside it.
    const grown = first(build, traced([-8, 22, 216, 12], [-8, -8, 216, 26], [0, 100, 200, 200]), 'trace-3');
    const outlineOf = ({ revisions: [revision] }: (typeof grown.pieces)[number]) => revision!.lines[0]!.path;
    const kept = grown.pieces.filter(({ name }) => name === 'Lacing strip');
    expect(kept).toHaveLength(1);
    expect(outlineOf(kept[0]!).start.y).toBeCloseTo(-8, 6);
    expect(grown.pieces.some(({ name }) => name === 'Sun disc')).toBe(true);
    // The disc is gone, and what lies in its middle is not it.
    const other = first(build, traced([0, 0, 200, 10], [75, 175, 50, 50]), 'trace-4');
    const again = other.pieces.find(({ name }) => name === 'Sun disc')!;
    expect(outlineOf(again).start.x).toBeCloseTo(0, 6);
    expect(other.pieces).toHaveLength(3);
  });

  it('leave the work done since the last trace as the revision before', () => {
    const lines = [{ id: 'line', kind: 'cut' as const, path: polylinePath([{ x: 0, y: 0 }], true) }];
    const worked = addRevision(sampleBuild(), {
      pieceId: LEFT,
      stamp: stamp('mend'),
      lines,
      why: 'averaged halves',
    });
    const again = replaceTracedPieces(worked, {
      captureId: 'photo-1',
      trace: traceOf(tracedBox(2, 0, 120, 80), tracedBox(160, 20, 90, 140)),
      stamp: stamp('trace-2'),
    });
    expect(again.pieces[0]!.revisions.map(({ why }) => why)).toEqual([
      'traced from photo',
      'averaged halves',
      'traced again',
    ]);
    const back = revertToRevision(again, { pieceId: LEFT, revisionId: 'mend', stamp: stamp('back') });
    expect(lastRevision(back.pieces[0]!)).toMatchObject({ why: 'back to: averaged halves', lines });
  });

  it('stay as they are when the photo shows nothing new', () => {
    const build = sampleBuild();
    const again = replaceTracedPieces(build, {
      captureId: 'photo-1',
      trace: traceOf(tracedBox(0, 0, 120, 80), tracedBox(160, 20, 90, 140)),
      stamp: stamp('trace-2'),
    });
    expect(again.pieces).toEqual(build.pieces);
  });

  it('go when they are no longer found, unless the maker has worked on them', () => {
    const build = renamePiece(sampleBuild(), { pieceId: RIGHT, name: 'Guard' });
    const again = replaceTracedPieces(build, {
      captureId: 'photo-1',
      trace: traceOf(),
      stamp: stamp('trace-2'),
    });
    expect(again.pieces.map(({ name }) => name)).toEqual(['Guard']);
  });

  it('keep axis and wrap line on the same spots of the photo when the thickness changes', () => {
    let build = sampleBuild();
    const axis = { point: { x: 60, y: 0 }, angleRad: Math.PI / 2, rule: 'by-hand' as const };
    const line = { from: { x: 0, y: 40 }, to: { x: 120, y: 40 }, along: 'straight' as const };
    build = setAxis(build, { pieceId: LEFT, axis });
    build = setWrap(build, { pieceId: LEFT, wrap: { coverageRad: Math.PI, line, easeMm: 0 } });
    build = setThickness(build, { captureId: 'photo-1', thicknessMm: 10 });
    const options = captureOptionsFor(build, build.captures[0]!, {});
    build = setCapture(build, { captureId: 'photo-1', capture: sampleCapture(10), options });
    build = replaceTracedPieces(build, {
      captureId: 'photo-1',
      trace: traceOf(tracedBox(0, 0, 120, 80, 10), tracedBox(160, 20, 90, 140, 10)),
      stamp: stamp('trace-2'),
    });
    const piece = build.pieces[0]!;
    // 10 of 700 mm nearer the camera: everything is 1/70 smaller about the foot point (150, 100).
    expect(piece.axis!.point.x).toBeCloseTo(60 + 90 / 70, 6);
    expect(piece.axis!.angleRad).toBeCloseTo(Math.PI / 2, 9);
    const seen = planeToImage(CAMERA, piece.wrap!.line!.to, 10);
    expect(seen.u).toBeCloseTo(planeToImage(CAMERA, line.to).u, 6);
    expect(piece.wrap!.line!.to.x - piece.wrap!.line!.from.x).toBeCloseTo(120 * (690 / 700), 6);
  });
});

describe('a capture', () => {
  it('is out of date as soon as thickness, tapes or the card printer change', () => {
    const build = sampleBuild();
    const isCurrent = (candidate: typeof build) => isCaptureCurrent(candidate, candidate.captures[0]!);
    expect(isCurrent(build)).toBe(true);
    const thicker = setThickness(build, { captureId: 'photo-1', thicknessMm: 3 });
    expect(isCurrent(thicker)).toBe(false);
    const { thicknessMm } = build.captures[0]!;
    expect(isCurrent(setThickness(thicker, { captureId: 'photo-1', thicknessMm }))).toBe(true);
  });
});
