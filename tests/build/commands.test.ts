import { describe, expect, it } from 'vitest';
import { setThickness } from '../../src/build/commands/captures.ts';
import {
  addPrinter,
  removePrinter,
  renameBuild,
  setPageSetup,
} from '../../src/build/commands/build-setup.ts';
import { isNobodyYet, newBuild } from '../../src/build/commands/new-build.ts';
import {
  addRevision,
  revertToRevision,
  setPieceCounts,
  setPieceFoam,
} from '../../src/build/commands/pieces.ts';
import {
  addFoam,
  addWearer,
  changeWearer,
  chooseFoam,
  removeFoam,
  removeWearer,
} from '../../src/build/commands/wearers-and-foams.ts';
import { captureOptionsFor, chosenWearer, lastRevision } from '../../src/build/lookups.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const PIECE = 'trace-1-1';

describe('a new build', () => {
  it('has a wearer, the foams sold with 5 mm chosen, and A4 pages', () => {
    const build = newBuild({ stamp: stamp('b') });
    expect(build.foams.map(({ thicknessMm }) => thicknessMm)).toEqual([2, 3, 4, 5, 6, 8, 10, 12]);
    expect(build.foams.find(({ id }) => id === build.foamId)!.thicknessMm).toBe(5);
    expect(build.pageSetup).toEqual({ paper: 'A4', marginMm: 8, overlapMm: 10 });
    // FACTS 2.2: pooled ANSUR II percentiles 5/50/95 of head circumference are 540/570/600 mm.
    expect(chosenWearer(build).girthMm).toBe(570);
  });

  it('has nobody measured until a girth is typed in, or a name', () => {
    const build = newBuild({ stamp: stamp('b') });
    const wearer = chosenWearer(build);
    expect(isNobodyYet(wearer)).toBe(true);
    for (const changed of [{ girthMm: 571 }, { name: 'Wren' }]) {
      expect(isNobodyYet(chosenWearer(changeWearer(build, { wearerId: wearer.id, ...changed })))).toBe(false);
    }
  });
});

describe('commands', () => {
  it('never change the build that they are given', () => {
    const build = sampleBuild();
    const before = JSON.stringify(build);
    renameBuild(build, { name: 'Other' });
    addWearer(build, { stamp: stamp('w'), name: 'Wren', girthMm: 580 });
    setPieceCounts(build, { pieceId: PIECE, count: 3 });
    expect(JSON.stringify(build)).toBe(before);
  });

  it('keep the former name when the new one is blank, and tidy what was pasted', () => {
    const build = newBuild({ stamp: stamp('b'), name: 'Heron' });
    expect(renameBuild(build, { name: ' \n ' })).toBe(build);
    expect(renameBuild(build, { name: ' Marsh \n Heron\t' }).name).toBe('Marsh Heron');
  });

  it('refuse numbers that cannot be meant', () => {
    const build = sampleBuild();
    const { id: wearerId } = chosenWearer(build);
    for (const girthMm of [Number.NaN, -580, 58, Infinity]) {
      expect(() => changeWearer(build, { wearerId, girthMm })).toThrow(RangeError);
    }
    expect(() => setThickness(build, { captureId: 'photo-1', thicknessMm: -1 })).toThrow(RangeError);
    expect(() => setPieceCounts(build, { pieceId: PIECE, count: 1.5 })).toThrow(RangeError);
    expect(() => setPieceFoam(build, { pieceId: PIECE, foamId: 'none' })).toThrow('no foam with the id none');
  });
});

describe('the wearers and foams', () => {
  it('always leave somebody to make for: the chosen wearer passes on, the last one stays', () => {
    let build = addWearer(sampleBuild(), { stamp: stamp('wren'), name: 'Wren', girthMm: 580 });
    expect(chosenWearer(build).name).toBe('Wren');
    build = removeWearer(build, { wearerId: 'wren' });
    expect(chosenWearer(build).name).toBe('Wearer');
    expect(removeWearer(build, { wearerId: 'wearer' })).toBe(build);
  });

  it('move the pieces of the former foam along to the chosen one, and no others', () => {
    let build = setPieceFoam(sampleBuild(), { pieceId: PIECE, foamId: 'foam-2' });
    build = chooseFoam(build, { foamId: 'foam-10' });
    expect(build.pieces.map(({ foamId }) => foamId)).toEqual(['foam-2', 'foam-10']);
  });

  it('keep a foam that a piece is made of', () => {
    const build = addFoam(sampleBuild(), { stamp: stamp('mat'), name: 'Mat', thicknessMm: 7, neutralK: 0.5 });
    expect(removeFoam(build, { foamId: 'foam-5' })).toBe(build);
    expect(removeFoam(build, { foamId: 'mat' }).foams.map(({ id }) => id)).not.toContain('mat');
  });
});

describe('printers', () => {
  it('serve cards and template from the first one on, and are forgotten everywhere', () => {
    const check = { acrossMm: 149, alongMm: 198.5 };
    const build = addPrinter(sampleBuild(), { stamp: stamp('ink'), name: 'Ink', check });
    expect(captureOptionsFor(build, build.captures[0]!, {}).printer).toEqual(check);
    expect(build.pageSetup.printerId).toBe('ink');
    expect(setPageSetup(build, { paper: 'Letter' }).pageSetup.printerId).toBe('ink');
    expect(setPageSetup(build, { printerId: undefined }).pageSetup).not.toHaveProperty('printerId');
    expect(removePrinter(build, { printerId: 'ink' })).toEqual(sampleBuild());
  });
});

describe('revisions', () => {
  const lines = [{ id: 'l', kind: 'cut' as const, path: polylinePath([{ x: 0, y: 0 }], true) }];

  it('carry tolerance and place in the photo on, until the lines leave the photo', () => {
    const change = { pieceId: PIECE, stamp: stamp('r'), lines, why: 'mended' };
    const [mended] = addRevision(sampleBuild(), change).pieces;
    expect(lastRevision(mended!)).toMatchObject({ toleranceMm: 0.3, frame: { heightMm: 0 } });
    expect(lastRevision(mended!)).not.toHaveProperty('origin');
    const [turned] = addRevision(sampleBuild(), { ...change, leavesPhoto: true }).pieces;
    expect(lastRevision(turned!)).not.toHaveProperty('frame');
  });

  it('are never lost by going back, and going back to the one in force does nothing', () => {
    const mended = addRevision(sampleBuild(), { pieceId: PIECE, stamp: stamp('r'), lines, why: 'mended' });
    const first = mended.pieces[0]!.revisions[0]!;
    const back = revertToRevision(mended, { pieceId: PIECE, revisionId: first.id, stamp: stamp('back') });
    expect(back.pieces[0]!.revisions).toHaveLength(3);
    expect(lastRevision(back.pieces[0]!)).toMatchObject({
      lines: first.lines,
      why: 'back to: traced from photo',
    });
    expect(revertToRevision(back, { pieceId: PIECE, revisionId: 'back', stamp: stamp('x') })).toBe(back);
  });
});
