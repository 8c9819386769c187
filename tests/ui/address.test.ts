import { describe, expect, it } from 'vitest';
import { hashOf, placeFromHash } from '../../src/ui/address.ts';
import { fileStem } from '../../src/ui/download.ts';
import { STAGE_IDS } from '../../src/ui/stage-id.ts';

describe('the address', () => {
  it('names every stage of a build, there and back', () => {
    const buildId = '0d9f2b1e-2a3c-4d5e-8f90-123456789abc';
    for (const stage of STAGE_IDS) {
      const place = { screen: 'build', buildId, stage } as const;
      expect(placeFromHash(hashOf(place))).toEqual(place);
    }
  });

  it('is the first screen for anything else', () => {
    const strange = [
      '',
      '#',
      '#build/',
      '#build/abc',
      '#build/abc/nowhere',
      '#build/a b/trace',
      '#build/<x>/trace',
    ];
    for (const hash of strange) expect(placeFromHash(hash)).toEqual({ screen: 'start' });
    expect(hashOf({ screen: 'start' })).toBe('');
  });
});

describe('the name of a saved file', () => {
  it('keeps letters and figures, and is never empty', () => {
    expect(fileStem('Marsh Heron Warden’s headpiece')).toBe('marsh-heron-wardens-headpiece');
    expect(fileStem('Crête n° 2 / gauche')).toBe('crete-n-2-gauche');
    expect(fileStem('../..')).toBe('headpiece');
    expect(fileStem('面')).toBe('headpiece');
  });
});
