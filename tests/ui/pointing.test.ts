import { describe, expect, it } from 'vitest';
import type { Reference } from '../../src/capture/types.ts';
import {
  isPointingDone,
  withCorners,
  withoutReference,
  withReference,
} from '../../src/ui/capture/pointing.ts';

const CARDS: Reference = { kind: 'cards' };
const place = { u: 1, v: 2 };

describe('choosing what a photo is measured by', () => {
  it('keeps one of each kind, in a fixed order', () => {
    const chosen = withReference([{ kind: 'sheet', sheet: 'A4' }], { kind: 'bank-card' });
    expect(chosen.map(({ kind }) => kind)).toEqual(['bank-card', 'sheet']);
    expect(withReference(chosen, { kind: 'sheet', sheet: 'A3' })).toEqual([
      { kind: 'bank-card' },
      { kind: 'sheet', sheet: 'A3' },
    ]);
  });

  it('never leaves nothing: scale cards stay', () => {
    expect(withoutReference([{ kind: 'bank-card' }], 'bank-card')).toEqual([CARDS]);
    expect(withoutReference([CARDS], 'cards')).toEqual([CARDS]);
  });

  it('puts corners on a card or sheet that is chosen, after the fourth', () => {
    const three = { kind: 'bank-card', placesPx: [place, place, place] } as const;
    expect(isPointingDone(three)).toBe(false);
    const four = { kind: 'bank-card', placesPx: [place, place, place, place] } as const;
    expect(isPointingDone(four)).toBe(true);
    expect(withCorners([CARDS, { kind: 'bank-card' }], four)).toEqual([
      CARDS,
      { kind: 'bank-card', nearPx: four.placesPx },
    ]);
    expect(withCorners([CARDS], four)).toEqual([CARDS]);
  });
});
