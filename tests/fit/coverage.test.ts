import { describe, expect, it } from 'vitest';
import { likeliestCoverage, coverageWord, degreesOf, radiansOf } from '../../src/fit/coverage.ts';

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
