import { describe, expect, it } from 'vitest';
import { excuseStretch, judgeStretchAgain } from '../../src/build/commands/excuses.ts';
import { addPiece } from '../../src/build/commands/pieces.ts';
import { acceptMockUp } from '../../src/build/commands/refit.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import { buildSchema } from '../../src/build/schema.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { point } from '../geometry/drawn.ts';
import { sampleBuild, stamp } from './sample-build.ts';

const build = sampleBuild();
const piece = build.pieces[0]!;
const STRETCH = { id: 'e1', name: ' feather  side ', from: point(0, 0), via: point(5, 1), to: point(10, 0) };

describe('excusing a stretch', () => {
  it('keeps it with the piece under a tidy name, and lets it go again without a trace', () => {
    const excused = excuseStretch(build, { pieceId: piece.id, stretch: STRETCH });
    expect(excused.pieces[0]!.excused).toEqual([{ ...STRETCH, name: 'feather side' }]);
    expect(buildSchema.safeParse(excused).success).toBe(true);
    expect(judgeStretchAgain(excused, { pieceId: piece.id, stretchId: 'e1' })).toEqual(build);
    expect(() => judgeStretchAgain(build, { pieceId: piece.id, stretchId: 'e1' })).toThrow();
  });
});

describe('accepting a mock-up', () => {
  const triangle = polylinePath([point(0, 0), point(90, 0), point(40, 70)], true);
  const lines = [{ id: 'cut', kind: 'cut', path: triangle } as const];
  const two = addPiece(build, { stamp: stamp('mock'), name: 'Mock-up', lines, why: 'traced from photo' });
  const accepted = acceptMockUp(two, {
    pieceId: piece.id,
    mockUpId: 'mock',
    lines,
    why: 'trimmed 3.2 mm',
    stamp: stamp('next'),
  });

  it('puts its edge in force and keeps every revision before', () => {
    const revised = accepted.pieces[0]!;
    expect(lastRevision(revised)).toMatchObject({ id: 'next', why: 'trimmed 3.2 mm', lines });
    expect(revised.revisions.slice(0, -1)).toEqual(piece.revisions);
    expect(buildSchema.safeParse(accepted).success).toBe(true);
  });

  it('leaves the mock-up in the build but out of fit and template', () => {
    expect(accepted.pieces.at(-1)).toMatchObject({ id: 'mock', mockUpOf: piece.id, included: false });
    expect(() =>
      acceptMockUp(two, { pieceId: 'mock', mockUpId: 'mock', lines, why: '', stamp: stamp('x') }),
    ).toThrow();
  });
});
