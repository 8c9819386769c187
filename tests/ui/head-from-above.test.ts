import { describe, expect, it } from 'vitest';
import { polylineLengthMm } from '../../src/geometry/measure.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { wrapLengthMm } from '../../src/fit/wrap-length.ts';
import { likeliestCoverage, coverageWord, degreesOf, radiansOf } from '../../src/fit/coverage.ts';
import { headFromAbove } from '../../src/ui/fit/head-from-above.ts';

const ALL = 2 * Math.PI;
const NEED = { girthMm: 580, easeMm: 12, thicknessMm: 10, coverageRad: ALL };

/** Half-way through the foam, where its length is kept. */
function middleLengthMm({ inner, outer, isAllRound }: ReturnType<typeof headFromAbove>): number {
  const middle = inner.map(({ x, y }, i) => ({ x: (x + outer[i]!.x) / 2, y: (y + outer[i]!.y) / 2 }));
  return polylineLengthMm(middle, isAllRound);
}

describe('the head seen from above', () => {
  it('has the girth that was measured, and is longer than broad as heads are', () => {
    const { head } = headFromAbove(NEED);
    expect(polylineLengthMm(head, true)).toBeCloseTo(580, 6);
    const broad = 2 * Math.max(...head.map(({ x }) => x));
    const long = 2 * Math.max(...head.map(({ y }) => y));
    // Breadth over length 0.774 in men, 0.779 in women (ANSUR II, FACTS section 2.4).
    expect(broad / long).toBeCloseTo(0.775, 3);
  });

  it('wears foam whose middle is as long all round as the wrap length asks for', () => {
    // Two roads to one length: the drawing walks the oval, wrapLengthMm uses Steiner's formula.
    const wanted = wrapLengthMm({ ...NEED, foam: { thicknessMm: 10, neutralK: 0.5 } });
    expect(middleLengthMm(headFromAbove(NEED)) / wanted).toBeCloseTo(1, 4);
  });

  it('covers the share that was asked for, evenly on either side of the brow', () => {
    for (const share of [1 / 2, 1 / 3, 1 / 4]) {
      const drawn = headFromAbove({ ...NEED, easeMm: 0, thicknessMm: 4, coverageRad: share * ALL });
      expect(drawn.isAllRound).toBe(false);
      expect(polylineLengthMm(drawn.inner, false)).toBeCloseTo(share * 580, 6);
      const [first, last] = [drawn.inner[0]!, drawn.inner.at(-1)!];
      expect(first.x).toBeCloseTo(-last.x, 6);
      expect(first.y).toBeCloseTo(last.y, 6);
      expect(first.x).toBeGreaterThan(0);
    }
  });

  it('is everywhere as thick as the foam', () => {
    const { inner, outer } = headFromAbove({ ...NEED, coverageRad: Math.PI });
    inner.forEach((point, i) => expect(distanceMm(point, outer[i]!)).toBeCloseTo(10, 9));
  });
});

describe('the words for coverage', () => {
  it('name the usual shares and nothing else', () => {
    expect(coverageWord(Math.PI)?.words).toBe('half');
    expect(coverageWord(radiansOf(120))?.words).toBe('third');
    expect(coverageWord(radiansOf(121))).toBeUndefined();
    expect(degreesOf(radiansOf(77))).toBeCloseTo(77, 12);
  });

  it('suggest the share that a wrap line comes nearest to', () => {
    expect(likeliestCoverage(590, 596).id).toBe('all');
    expect(likeliestCoverage(328, 596).id).toBe('half');
    expect(likeliestCoverage(141, 596).id).toBe('quarter');
    expect(likeliestCoverage(0, 596).id).toBe('quarter');
  });
});
