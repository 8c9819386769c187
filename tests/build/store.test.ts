import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { renameBuild } from '../../src/build/commands/build-setup.ts';
import { newBuild } from '../../src/build/commands/new-build.ts';
import { removePiece, renamePiece, setAxis } from '../../src/build/commands/pieces.ts';
import { type BuildStore, createBuildStore } from '../../src/build/store.ts';
import type { Build } from '../../src/build/types.ts';
import { anyCommand, applyRandom, RANDOM_COMMANDS } from './random-commands.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const LEFT = 'trace-1-1';

function clock(): () => string {
  let second = 0;
  return () => new Date(Date.UTC(2031, 4, 2, 10, 0, ++second)).toISOString();
}

const bytes = (build: Build) => JSON.stringify(build);
const named = (name: string) => (build: Build) => renameBuild(build, { name });
const axisAt = (x: number) => (build: Build) =>
  setAxis(build, { pieceId: LEFT, axis: { point: { x, y: 0 }, angleRad: 1, rule: 'by-hand' } });

function undoAll(store: BuildStore): number {
  let steps = 0;
  for (; store.getState().canUndo; steps++) store.undo();
  return steps;
}

describe('undo', () => {
  it('brings the document back to the byte after 200 random commands, and redo the end of them', () => {
    fc.assert(
      fc.property(fc.array(anyCommand, { minLength: 200, maxLength: 200 }), (commands) => {
        const store = createBuildStore(sampleBuild(), clock());
        const start = bytes(store.getState().build);
        for (const command of commands) store.run(command.name, (build) => applyRandom(build, command));
        const end = bytes(store.getState().build);
        expect(undoAll(store)).toBeGreaterThan(50);
        expect(bytes(store.getState().build)).toBe(start);
        while (store.getState().canRedo) store.redo();
        expect(bytes(store.getState().build)).toBe(end);
      }),
      { numRuns: 30 },
    );
  });

  it('is tried on commands that each do change a build', () => {
    const changing = new Set<string>();
    for (let seed = 1; seed < 400; seed++) {
      for (const name of Object.keys(RANDOM_COMMANDS)) {
        let build = applyRandom(sampleBuild(), { name: 'addPrinter', numbers: [seed] });
        build = applyRandom(build, { name: 'addRevision', numbers: [0, seed] });
        build = applyRandom(build, { name: 'addWearer', numbers: [seed] });
        build = applyRandom(build, { name: 'goRoundTogether', numbers: [0] });
        build = applyRandom(build, { name: 'addSeam', numbers: [seed] });
        const numbers = [seed * 7919, seed * 104_729, seed * 1_299_709, seed];
        if (applyRandom(build, { name, numbers }) !== build) changing.add(name);
      }
      if (changing.size === Object.keys(RANDOM_COMMANDS).length) break;
    }
    expect([...changing].sort()).toEqual(Object.keys(RANDOM_COMMANDS).sort());
  });

  it('names the step that it would take back, and the one it would do again', () => {
    const store = createBuildStore(newBuild({ stamp: stamp('b') }), clock());
    expect(store.getState()).toMatchObject({ canUndo: false, undoLabel: undefined });
    store.run('Rename headpiece', named('Heron'));
    expect(store.getState()).toMatchObject({ canUndo: true, undoLabel: 'Rename headpiece' });
    store.undo();
    expect(store.getState()).toMatchObject({ canUndo: false, redoLabel: 'Rename headpiece' });
    store.run('Rename headpiece', named('Warden'));
    expect(store.getState().canRedo).toBe(false);
  });

  it('has no step for a command that changed nothing', () => {
    const store = createBuildStore(newBuild({ stamp: stamp('b'), name: 'Heron' }), clock());
    store.run('Rename headpiece', named('  Heron '));
    expect(store.getState().canUndo).toBe(false);
    expect(store.getState().build.changedAt).toBe(stamp('b').when);
  });

  it('takes several commands of one run back together', () => {
    const store = createBuildStore(sampleBuild(), clock());
    const start = bytes(store.getState().build);
    store.run('Place axis', (build) => named('Heron')(axisAt(3)(build)));
    store.undo();
    expect(bytes(store.getState().build)).toBe(start);
  });

  it('does not follow into another build', () => {
    const store = createBuildStore(sampleBuild(), clock());
    store.run('Rename headpiece', named('Heron'));
    store.open(newBuild({ stamp: stamp('other') }));
    expect(store.getState()).toMatchObject({ canUndo: false, build: { id: 'other' } });
  });
});

describe('a gesture', () => {
  it('is one undo step, however often it is updated', () => {
    const store = createBuildStore(sampleBuild(), clock());
    const start = bytes(store.getState().build);
    store.beginGesture('Move axis');
    for (let x = 1; x <= 50; x++) store.updateGesture(axisAt(x));
    expect(store.getState()).toMatchObject({ gestureLabel: 'Move axis', canUndo: false });
    store.commitGesture();
    expect(store.getState().build.pieces[0]!.axis!.point.x).toBe(50);
    store.undo();
    expect(bytes(store.getState().build)).toBe(start);
    expect(store.getState().canUndo).toBe(false);
  });

  it('leaves no trace when it is cancelled, or taken back while it lasts', () => {
    for (const end of ['cancelGesture', 'undo'] as const) {
      const store = createBuildStore(sampleBuild(), clock());
      store.run('Rename headpiece', named('Heron'));
      const before = store.getState();
      store.beginGesture('Move axis');
      store.updateGesture(axisAt(7));
      expect(store.getState().build).not.toBe(before.build);
      store[end]();
      expect(store.getState()).toEqual(before);
    }
  });

  it('starts every update from where it began, so that nothing adds up', () => {
    const store = createBuildStore(sampleBuild(), clock());
    const longer = (build: Build) => renamePiece(build, { pieceId: LEFT, name: `${build.pieces[0]!.name}!` });
    store.beginGesture('Rename piece');
    store.updateGesture(longer);
    store.updateGesture(longer);
    store.commitGesture();
    expect(store.getState().build.pieces[0]!.name).toBe('Piece 1!');
  });

  it('goes on over a result that arrives meanwhile, which keeps a step of its own', () => {
    const store = createBuildStore(sampleBuild(), clock());
    store.beginGesture('Move axis');
    store.updateGesture(axisAt(7));
    store.run('Rename headpiece', named('Heron'));
    expect(store.getState().build).toMatchObject({
      name: 'Heron',
      pieces: [{ axis: { point: { x: 7 } } }, {}],
    });
    store.commitGesture();
    store.undo();
    expect(store.getState().build.name).toBe('Heron');
    expect(store.getState().build.pieces[0]!.axis).toBeUndefined();
    store.undo();
    expect(store.getState().build.name).toBe('Marsh Heron Warden');
  });

  it('ends when the piece it moves is gone', () => {
    const store = createBuildStore(sampleBuild(), clock());
    store.beginGesture('Move axis');
    store.updateGesture(axisAt(7));
    store.run('Remove piece', (build) => removePiece(build, { pieceId: LEFT }));
    expect(store.getState()).toMatchObject({ gestureLabel: undefined, undoLabel: 'Remove piece' });
    expect(store.getState().build.pieces).toHaveLength(1);
  });
});
