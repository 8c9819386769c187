import { describe, expect, it } from 'vitest';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { pathLengthMm } from '../../src/geometry/measure.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import { checkPair } from '../../src/mirror/check-pair.ts';
import { findAxes } from '../../src/mirror/find-axes.ts';
import { mend } from '../../src/mirror/mend.ts';
import { type PracticePhoto, readTruth } from '../setup/truth.ts';

/** The pieces in the demo photos, as they truly are. */
function pieces(photo: PracticePhoto): PieceLine[][] {
  return readTruth(photo).pieces.map(({ outer, holes }) => [
    { id: 'outline', kind: 'cut', path: polylinePath(outer, true) },
    ...holes.map(
      (hole, i): PieceLine => ({ id: `opening ${i}`, kind: 'cutout', path: polylinePath(hole, true) }),
    ),
  ]);
}

function fold(lines: readonly PieceLine[], limitMm: number) {
  const [outline, ...others] = lines.map(({ path }) => path);
  const [best, ...rest] = findAxes(outline!, others);
  return { best: best!, rest, check: checkFold(lines, best!.axis, limitMm) };
}

describe('pieces of the demo photos', () => {
  it('the brow band has one axis and matches when folded', () => {
    const { rest, check } = fold(pieces('brow-band')[0]!, 0.5);
    expect(rest).toEqual([]);
    expect(check.maxMm).toBeLessThan(0.1);
    expect(check.stretches).toEqual([]);
  });

  it('the crown front has one axis, though it was cut unevenly, and mending makes it even', () => {
    const lines = pieces('crown-front')[0]!;
    const { rest, check } = fold(lines, 1);
    expect(rest).toEqual([]);
    expect(check.stretches.length).toBeGreaterThan(0);
    for (const mode of ['keep-left', 'keep-right', 'average'] as const) {
      const mended = mend(lines, check.axis, mode);
      if (!mended.ok) throw new Error(mended.problem.message);
      expect(checkFold(mended.value.lines, check.axis, 0.1).maxMm).toBeLessThan(0.01);
      expect(pathLengthMm(mended.value.lines[0]!.path) / pathLengthMm(lines[0]!.path)).toBeCloseTo(1, 1);
    }
  });

  it('the guards are a pair, the crest is no partner of theirs, and none of them folds on itself', () => {
    const [left, right, crest] = pieces('guards-and-crest');
    const pair = checkPair(left!, right!, 0.5);
    expect(pair.ok && pair.value.maxMm).toBeLessThan(0.05);
    expect(checkPair(left!, crest!, 0.5).ok).toBe(false);
    for (const lines of [left!, right!]) expect(fold(lines, 1).best.misfit).toBeGreaterThan(0.5);
  });
});
