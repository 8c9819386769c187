import { describe, expect, it } from 'vitest';
import { changeRound, goRoundTogether, setLining } from '../../src/build/commands/rounds.ts';
import { includePiece, removePiece, setWrap } from '../../src/build/commands/pieces.ts';
import { addFoam, changeFoam, changeWearer, removeFoam } from '../../src/build/commands/wearers-and-foams.ts';
import { openBuildFile, packBuildFile } from '../../src/build/file-format.ts';
import { piecesOf, roundOf, underneathMm } from '../../src/build/lookups.ts';
import { buildSchema } from '../../src/build/schema.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const build = sampleBuild();
const [a, b] = build.pieces.map(({ id }) => id) as [string, string];
const together = goRoundTogether(build, { stamp: stamp('round'), pieceIds: [a, b] });

describe('pieces that go round the head together', () => {
  it('are kept in their order, each in one round only', () => {
    expect(roundOf(together, a)?.places.map(({ pieceId }) => pieceId)).toEqual([a, b]);
    const again = goRoundTogether(together, { stamp: stamp('other'), pieceIds: [b, a] });
    expect(again.rounds).toHaveLength(1);
    expect(roundOf(again, a)).toMatchObject({ id: 'other', closesAt: 'beside-first' });
  });

  it('may hold a piece that is cut twice in two places', () => {
    const twice = changeRound(together, { roundId: 'round', pieceIds: [a, b, a], closesAt: 'back' });
    expect(piecesOf(twice, roundOf(twice, b)!).map(({ id }) => id)).toEqual([a, b, a]);
    expect(buildSchema.parse(twice)).toEqual(twice);
  });

  it('are alone again when only one is left, and the build is then what it was', () => {
    expect(changeRound(together, { roundId: 'round', pieceIds: [a] })).toEqual(build);
    expect(roundOf(includePiece(together, { pieceId: b, included: false }), a)).toBeUndefined();
  });

  it('never make a build that cannot be opened, even when a piece of them is gone', () => {
    const gone = removePiece(together, { pieceId: b });
    expect(roundOf(gone, a)).toBeUndefined();
    const packed = packBuildFile(gone, new Map());
    if (!packed.ok) throw new Error(packed.problem.message);
    expect(openBuildFile(packed.value, stamp('read')).ok).toBe(true);
  });

  it('are held on alike, as the first is', () => {
    const tight = { coverageRad: 2, easeMm: -5, hold: 'tension' } as const;
    const held = setWrap(build, { pieceId: a, wrap: tight });
    const both = goRoundTogether(held, { stamp: stamp('round'), pieceIds: [a, b] });
    expect(both.pieces[1]!.wrap).toMatchObject({ easeMm: -5, hold: 'tension' });
    const turned = goRoundTogether(held, { stamp: stamp('round'), pieceIds: [b, a] });
    expect(turned.pieces[0]!.wrap).toMatchObject({ coverageRad: 2, easeMm: 0 });
    expect(turned.pieces[0]!.wrap).not.toHaveProperty('hold');
  });

  it('are at least two, and in the build', () => {
    expect(() => goRoundTogether(build, { stamp: stamp('x'), pieceIds: [a] })).toThrow('at least two');
    expect(() => goRoundTogether(build, { stamp: stamp('x'), pieceIds: [a, 'none'] })).toThrow('no piece');
  });
});

describe('what lies underneath', () => {
  it('is liner, padding and the first layer together', () => {
    const lined = setLining(setLining(build, { linerMm: 2 }), { paddingMm: 4 });
    expect(lined.lining).toEqual({ linerMm: 2, paddingMm: 4 });
    expect(underneathMm(lined, { overFoamId: 'foam-10' })).toBe(16);
    expect(underneathMm(build, undefined)).toBe(0);
    expect(setLining(lined, { linerMm: 0, paddingMm: 0 })).toEqual(build);
    expect(() => setLining(build, { linerMm: -1 })).toThrow(RangeError);
  });

  it('keeps the foam of the first layer in the build for as long as a piece lies over it', () => {
    const wrap = { coverageRad: 1, easeMm: 0, overFoamId: 'foam-10' };
    const over = setWrap(build, { pieceId: a, wrap });
    expect(removeFoam(over, { foamId: 'foam-10' })).toBe(over);
    expect(removeFoam(build, { foamId: 'foam-10' })).not.toBe(build);
    expect(() => setWrap(build, { pieceId: a, wrap: { ...wrap, overFoamId: 'none' } })).toThrow('no foam');
  });
});

describe('measures and test strips', () => {
  it('are taken, taken away again, and refused outside what a head can have', () => {
    const wearerId = build.wearerId!;
    const measured = changeWearer(build, { wearerId, headLengthMm: 198, browToNapeMm: 352 });
    expect(measured.wearers[0]).toMatchObject({ girthMm: 570, headLengthMm: 198, browToNapeMm: 352 });
    expect(buildSchema.parse(measured)).toEqual(measured);
    const back = changeWearer(measured, { wearerId, headLengthMm: undefined, browToNapeMm: undefined });
    expect(back).toEqual(build);
    expect(() => changeWearer(build, { wearerId, headLengthMm: 20 })).toThrow('Head length');
  });

  it('a strip stays with its foam until K or the thickness is set by hand', () => {
    const bendTest = { stripMm: 340, drumMm: 310, gapMm: 0, readingMm: 0.5 };
    const added = addFoam(build, { stamp: stamp('foam'), name: 'Mat', thicknessMm: 10, neutralK: 0.5 });
    const tested = changeFoam(added, { foamId: 'foam', neutralK: 0.48, doubtK: 0.02, bendTest });
    expect(tested.foams.at(-1)).toMatchObject({ neutralK: 0.48, doubtK: 0.02, bendTest });
    expect(buildSchema.parse(tested)).toEqual(tested);
    expect(changeFoam(tested, { foamId: 'foam', name: 'Grey mat' }).foams.at(-1)).toMatchObject({ bendTest });
    expect(changeFoam(tested, { foamId: 'foam', neutralK: 0.5 }).foams.at(-1)).toEqual(added.foams.at(-1));
  });
});
