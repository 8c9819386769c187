import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { editLines } from '../../src/build/commands/edit-lines.ts';
import { addPiece } from '../../src/build/commands/pieces.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import { buildSchema } from '../../src/build/schema.ts';
import { createBuildStore } from '../../src/build/store.ts';
import type { Build } from '../../src/build/types.ts';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { polylinePath, reversePath } from '../../src/geometry/path.ts';
import { ellipse, GUARD, point } from '../geometry/drawn.ts';
import type { Draw } from './random-commands.ts';
import { editRandomly, RANDOM_VERBS } from './random-verbs.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const LINES: readonly PieceLine[] = [
  { id: 'outer', kind: 'cut', path: GUARD },
  { id: 'eye', kind: 'cutout', path: reversePath(ellipse(18, 11, point(90, 50))) },
  { id: 'crease', kind: 'score', path: polylinePath([point(20, 20), point(60, 25), point(90, 20)], false) },
  { id: 'vein', kind: 'score', path: polylinePath([point(20, 80), point(60, 85)], false) },
];
const GUARD_BUILD = addPiece(sampleBuild(), {
  stamp: stamp('guard'),
  name: 'Guard',
  lines: LINES,
  why: 'drawn',
});

const bytes = (build: Build) => JSON.stringify(build);
const linesOf = (build: Build) => lastRevision(build.pieces.find(({ id }) => id === 'guard')!).lines;

let made = 0;
function drawFrom(numbers: readonly number[]): Draw {
  let next = 0;
  return { int: (below) => numbers[next++ % numbers.length]! % below, id: () => `line-${++made}` };
}

const anyVerb = fc.record({
  name: fc.constantFrom(...Object.keys(RANDOM_VERBS)),
  numbers: fc.array(fc.nat(1e6), { minLength: 7, maxLength: 12 }),
});

/** One verb on the guard's lines. A verb that deletes everything leaves the piece without lines. */
function edit(build: Build, { name, numbers }: { name: string; numbers: readonly number[] }): Build {
  const lines = editRandomly(linesOf(build), name, drawFrom(numbers));
  return editLines(build, { pieceId: 'guard', stamp: stamp('sitting'), lines, why: 'edited by hand' });
}

describe('editing by hand', () => {
  it('is undone to the byte after 200 random verbs, and done again to the byte', () => {
    fc.assert(
      fc.property(fc.array(anyVerb, { minLength: 200, maxLength: 200 }), (verbs) => {
        const store = createBuildStore(GUARD_BUILD, () => '2031-05-02T10:00:00.000Z');
        const start = bytes(store.getState().build);
        for (const verb of verbs) store.run(verb.name, (build) => edit(build, verb));
        const end = bytes(store.getState().build);
        let steps = 0;
        for (; store.getState().canUndo; steps++) store.undo();
        expect(steps).toBeGreaterThan(80);
        expect(bytes(store.getState().build)).toBe(start);
        while (store.getState().canRedo) store.redo();
        expect(bytes(store.getState().build)).toBe(end);
        // Whatever verbs make can be kept and opened again.
        expect(buildSchema.safeParse(JSON.parse(end)).error).toBeUndefined();
      }),
      { numRuns: 3 },
    );
  });

  it('is tried on verbs that each do change lines', () => {
    const changing = new Set<string>();
    for (let seed = 1; seed < 400; seed++) {
      for (const name of Object.keys(RANDOM_VERBS)) {
        if (changing.has(name)) continue;
        const numbers = [7919, 104_729, 1_299_709, 1, 31, 17, 13].map((prime) =>
          Math.floor((seed * prime) / 7),
        );
        if (editRandomly(LINES, name, drawFrom(numbers)) !== LINES) changing.add(name);
      }
    }
    expect([...changing].sort()).toEqual(Object.keys(RANDOM_VERBS).sort());
  });

  it('never changes the lines that it is given', () => {
    const before = JSON.stringify(LINES);
    fc.assert(
      fc.property(anyVerb, ({ name, numbers }) => {
        editRandomly(LINES, name, drawFrom(numbers));
        expect(JSON.stringify(LINES)).toBe(before);
      }),
      { numRuns: 100 },
    );
  });

  it('makes one revision of a sitting, and a new one of the next', () => {
    const shorter = editLines(GUARD_BUILD, {
      pieceId: 'guard',
      stamp: stamp('a'),
      lines: LINES.slice(1),
      why: 'by hand',
    });
    const shortest = editLines(shorter, {
      pieceId: 'guard',
      stamp: stamp('a'),
      lines: LINES.slice(2),
      why: 'by hand',
    });
    const next = editLines(shortest, {
      pieceId: 'guard',
      stamp: stamp('b'),
      lines: LINES.slice(3),
      why: 'by hand',
    });
    const count = (build: Build) => build.pieces.find(({ id }) => id === 'guard')!.revisions.length;
    expect([GUARD_BUILD, shorter, shortest, next].map(count)).toEqual([1, 2, 2, 3]);
  });

  it('stays where the photo shows the piece, and is no longer a trace', () => {
    const [traced] = sampleBuild().pieces;
    const lines = lastRevision(traced!).lines.slice(0, 1);
    const edited = editLines(sampleBuild(), {
      pieceId: traced!.id,
      stamp: stamp('a'),
      lines,
      why: 'by hand',
    });
    expect(lastRevision(edited.pieces[0]!)).toMatchObject({ toleranceMm: 0.3, frame: { heightMm: 0 } });
    expect(lastRevision(edited.pieces[0]!)).not.toHaveProperty('origin');
  });

  it('refuses lines that could not be kept', () => {
    const tryLines = (...lines: PieceLine[]) =>
      editLines(GUARD_BUILD, { pieceId: 'guard', stamp: stamp('a'), lines, why: 'by hand' });
    const line = LINES[2]!;
    expect(() => tryLines(line, line)).toThrow('share an id');
    expect(() =>
      tryLines({ ...line, path: polylinePath([point(0, 0), point(Number.NaN, 1)], false) }),
    ).toThrow(RangeError);
    expect(() => tryLines({ ...line, path: { ...GUARD, start: point(1, 1) } })).toThrow(
      'must end where it starts',
    );
    expect(() => tryLines({ ...line, words: { text: 'x'.repeat(61), sizeMm: 5 } })).toThrow(RangeError);
  });
});
