/** Seams, strips and the size range in the document: commands, undo, files. */
import { expect, test } from 'vitest';
import {
  addSeam,
  carrySeams,
  changeSeam,
  removeSeam,
  setExtra,
  setSizeRange,
} from '../../src/build/commands/seams.ts';
import { buildSchema } from '../../src/build/schema.ts';
import { seamsInForce } from '../../src/build/seam-lookups.ts';
import { createBuildStore } from '../../src/build/store.ts';
import { removePiece } from '../../src/build/commands/pieces.ts';
import { edgeAt } from '../../src/fit/seams/seam-edge.ts';
import { cutLineOf } from '../../src/fit/scale-piece.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const build = sampleBuild();
const [first, second] = build.pieces;
const edgeOf = (piece: typeof first) => {
  const outline = cutLineOf(lastRevision(piece!).lines)!;
  return { pieceId: piece!.id, ...edgeAt(outline, outline.start) };
};
const seam = {
  a: edgeOf(first),
  b: edgeOf(second),
  facing: 'beside',
  notchesPerHalf: 2,
  foldRad: 0.3,
} as const;
const withSeam = addSeam(build, { stamp: stamp('seam-1'), ...seam });

test('a seam is named by the next free letter and survives the file', () => {
  const two = addSeam(withSeam, { stamp: stamp('seam-2'), ...seam });
  expect(two.seams?.map(({ name }) => name)).toEqual(['A', 'B']);
  const three = addSeam(removeSeam(two, { seamId: 'seam-1' }), { stamp: stamp('seam-3'), ...seam });
  expect(three.seams?.map(({ name }) => name)).toEqual(['B', 'A']);
  const full = setSizeRange(setExtra(three, { pieceId: first!.id, widthMm: 8 }), {
    range: { heads: { kind: 'wearers', wearerIds: ['wearer'] }, mode: 'whole' },
  });
  expect(buildSchema.parse(JSON.parse(JSON.stringify(full)))).toEqual(full);
  expect('seams' in removeSeam(withSeam, { seamId: 'seam-1' })).toBe(false);
});

test('old files without any of it still open', () => {
  expect(buildSchema.parse(JSON.parse(JSON.stringify(build)))).toEqual(build);
});

test('figures outside the limits are refused', () => {
  expect(() => changeSeam(withSeam, { seamId: 'seam-1', notchesPerHalf: 99 })).toThrow(RangeError);
  expect(() => changeSeam(withSeam, { seamId: 'seam-1', foldRad: 4 })).toThrow(RangeError);
  expect(() => setExtra(build, { pieceId: first!.id, widthMm: 500 })).toThrow(RangeError);
  expect(buildSchema.safeParse({ ...withSeam, seams: [{ ...withSeam.seams![0], foldRad: 9 }] }).success).toBe(
    false,
  );
});

test('a seam whose piece is gone is passed over, and comes back with the piece by undo', () => {
  const store = createBuildStore(withSeam);
  store.run('Remove piece', (each) => removePiece(each, { pieceId: first!.id }));
  expect(seamsInForce(store.getState().build)).toEqual([]);
  store.undo();
  expect(seamsInForce(store.getState().build)).toHaveLength(1);
});

test("seams go along with their piece's lines, and only with them", () => {
  const moved = carrySeams(withSeam, { pieceId: first!.id, move: ({ x, y }) => ({ x: x + 5, y }) });
  expect(moved.seams![0]!.a.from.x).toBe(seam.a.from.x + 5);
  expect(moved.seams![0]!.b).toEqual(withSeam.seams![0]!.b);
});

test('strips are set, changed and taken off', () => {
  const on = setExtra(setExtra(build, { pieceId: first!.id, widthMm: 8 }), {
    pieceId: first!.id,
    widthMm: 12,
  });
  expect(on.extras).toEqual([{ pieceId: first!.id, widthMm: 12 }]);
  expect('extras' in setExtra(on, { pieceId: first!.id, widthMm: 0 })).toBe(false);
});
