import { describe, expect, it } from 'vitest';
import { fitPieces } from '../../src/build/commands/fit-pieces.ts';
import { setAxis } from '../../src/build/commands/pieces.ts';
import { goRoundTogether } from '../../src/build/commands/rounds.ts';
import { goingRound, laidRound } from '../../src/build/going-round.ts';
import { lastRevision } from '../../src/build/lookups.ts';
import { fitPlan } from '../../src/fit/fit-plan.ts';
import { closingOf, closingWords, coversTooMuch, seamPlaceWords } from '../../src/ui/fit/above-words.ts';
import { stripBuild } from './strip-build.ts';

const stamp = { id: 'stamp', when: '2031-05-06T07:08:09Z' };
const alone = stripBuild([
  { name: 'Front', longMm: 330, coverageDeg: 200 },
  { name: 'Back', longMm: 250, coverageDeg: 160 },
]);
const together = goRoundTogether(alone, { stamp, pieceIds: ['front', 'back'] });
const [front, back] = together.pieces;

describe('what goes round the head', () => {
  it('adds up pattern and wanted lengths of the pieces that go together', () => {
    const going = goingRound(together, front!);
    expect(going.patternMm).toBeCloseTo(580, 9);
    // FACTS section 3: 580 mm round, 10 mm foam.
    expect(going.wantedMm).toBeCloseTo(611.42, 2);
    expect(laidRound(together, going).gapMm).toBeCloseTo(31.42, 1);
    expect(goingRound(together, back!)).toEqual(going);
  });

  it('is the piece alone where it is in no round, sitting at the front', () => {
    const going = goingRound(alone, front!);
    const laid = laidRound(alone, going);
    expect(going.places).toHaveLength(1);
    expect(laid.pieces[0]!.fromMm).toBeCloseTo(-laid.pieces[0]!.toMm, 1);
    expect(closingOf(going, laid)).toBe('open');
  });

  it('closes once its pieces are fitted, wrap line and fold axis going along', () => {
    const axis = { point: { x: 300, y: 0 }, angleRad: Math.PI / 2, rule: 'by-hand' } as const;
    const withAxis = setAxis(together, { pieceId: 'front', axis });
    const fits = goingRound(withAxis, front!).places.map(({ piece, wrap, need }) => {
      const outcome = fitPlan(lastRevision(piece).lines, wrap.line, need, 'along-wrap');
      if (!outcome.ok) throw new Error(outcome.problem.message);
      return { pieceId: piece.id, plan: outcome.value, mode: 'along-wrap' as const };
    });
    const fitted = fitPieces(withAxis, { stamp, why: 'fitted', fits });
    const going = goingRound(fitted, front!);
    const laid = laidRound(fitted, going);
    expect(going.patternMm).toBeCloseTo(going.wantedMm, 6);
    expect(closingWords(closingOf(going, laid), laid.gapMm)).toBe('ends meet');
    // 135 mm from the middle of the strip, stretched with it.
    const factor = fits[0]!.plan.factor;
    expect(fitted.pieces[0]!.axis!.point.x).toBeCloseTo(165 + 135 * factor, 9);
    expect(new Set(fitted.pieces.flatMap(({ revisions }) => revisions.map(({ id }) => id))).size).toBe(4);
  });
});

describe('the words for closings and seams', () => {
  it.each([
    [12.34, 2 * Math.PI, 'gap 12.3 mm'],
    [-4, 2 * Math.PI, 'overlap 4.0 mm'],
    [0.6, 2 * Math.PI, 'ends meet'],
    [280.4, 3, 'open 280 mm'],
    [-4, 3, 'overlap 4.0 mm'],
  ])('%d mm left of %d rad: %s', (gapMm, coverageRad, words) => {
    const laid = { ...laidRound(alone, goingRound(alone, front!)), gapMm };
    expect(closingWords(closingOf({ coverageRad }, laid), gapMm)).toBe(words);
  });

  it('know shares that come to more than once round', () => {
    expect(coversTooMuch({ coverageRad: 2 * Math.PI + 1e-3 })).toBe(false);
    expect(coversTooMuch({ coverageRad: 2.2 * Math.PI })).toBe(true);
  });

  it('say left and right as the wearer does', () => {
    expect(seamPlaceWords({ fromBrowMm: 96.4 })).toBe(
      '96 mm from the middle of the brow to the wearer’s left',
    );
    expect(seamPlaceWords({ fromBrowMm: -96.4 })).toContain('right');
    expect(seamPlaceWords({ fromBrowMm: 0.2 })).toBe('in the middle of the brow');
  });
});
