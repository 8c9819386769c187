import { describe, expect, it } from 'vitest';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import { movePath, mover } from '../../src/geometry/motion.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import { checkPair } from '../../src/mirror/check-pair.ts';
import type { ExcusedStretch } from '../../src/mirror/excused.ts';
import { point } from '../geometry/drawn.ts';
import { ELSEWHERE } from '../refit/mock-ups.ts';
import { VISOR, withBumps } from './outlines.ts';

const UPRIGHT = { point: point(0, 0), angleRad: Math.PI / 2, rule: 'free' } as const;
const cut = (path: PieceLine['path'], id = 'outline'): PieceLine[] => [{ id, kind: 'cut', path }];

/** A feather 4 mm high at the upper right, and a slip of 2 mm at the lower left. */
const { path, middles } = withBumps(VISOR, [
  { near: point(90, 60), heightMm: 4, widthMm: 30 },
  { near: point(-110, -50), heightMm: 2, widthMm: 25 },
]);
const [feather, slip] = middles as [{ x: number; y: number }, { x: number; y: number }];
const EXCUSE: ExcusedStretch = {
  id: 'e1',
  name: 'feather',
  from: point(feather.x + 18, feather.y - 4),
  via: feather,
  to: point(feather.x - 18, feather.y + 4),
};
const near = (a: { x: number; y: number }, b: { x: number; y: number }) => Math.hypot(a.x - b.x, a.y - b.y);

describe('an excused stretch', () => {
  it('is left out of every figure, and told apart with its own height', () => {
    const plain = checkFold(cut(path), UPRIGHT, 1);
    expect(plain.stretches).toHaveLength(2);
    expect(plain.excused).toEqual([]);
    const check = checkFold(cut(path), UPRIGHT, 1, [EXCUSE]);
    expect(check.stretches).toHaveLength(1);
    expect(near(check.stretches[0]!.at, slip)).toBeLessThan(5);
    expect(check.maxMm).toBeCloseTo(2, 1);
    expect(near(check.maxAt, slip)).toBeLessThan(5);
    expect(check.meanMm).toBeLessThan(plain.meanMm);
    expect(check.excused).toHaveLength(1);
    expect(check.excused[0]).toMatchObject({ stretch: { name: 'feather' }, lineId: 'outline' });
    expect(Math.abs(check.excused[0]!.peakMm)).toBeCloseTo(4, 1);
  });

  it('is left out of the area difference too: only the slip of 25 mm2 is left', () => {
    // A raised cosine of height h and width w covers h w / 2.
    const check = checkFold(cut(path), UPRIGHT, 1, [EXCUSE]);
    expect(check.rightAreaMm2 - check.leftAreaMm2).toBeCloseTo(60 - 25, -0.5);
    const left = (check.areaDifferencePct / 200) * (check.leftAreaMm2 + check.rightAreaMm2);
    expect(Math.abs(left - 25)).toBeLessThan(3);
  });

  it('may be named on either half, and given in either direction', () => {
    const mirrored = (p: { x: number; y: number }) => point(-p.x, p.y);
    const other = {
      ...EXCUSE,
      from: mirrored(EXCUSE.to),
      via: mirrored(EXCUSE.via),
      to: mirrored(EXCUSE.from),
    };
    const turned = { ...EXCUSE, from: EXCUSE.to, to: EXCUSE.from };
    for (const excuse of [other, turned]) {
      expect(checkFold(cut(path), UPRIGHT, 1, [excuse]).stretches).toHaveLength(1);
    }
  });

  it('excuses nothing when the piece no longer reaches there, and all of it when it goes all round', () => {
    const away = {
      ...EXCUSE,
      from: point(900, 900),
      via: point(900, 910),
      to: point(900, 920),
    };
    expect(checkFold(cut(path), UPRIGHT, 1, [away]).stretches).toHaveLength(2);
    const start = VISOR.start;
    const round = {
      ...EXCUSE,
      from: start,
      via: point(0, 68),
      to: point(start.x - 0.001, start.y),
    };
    const check = checkFold(cut(path), UPRIGHT, 1, [round]);
    expect(check.stretches).toEqual([]);
    expect(check.excused).toHaveLength(1);
  });

  it('counts for a pair as well, whichever piece it is kept with', () => {
    const left = cut(VISOR, 'left');
    const right = cut(movePath(path, ELSEWHERE), 'right');
    const plain = checkPair(left, right, 1);
    expect(plain.ok && plain.value.stretches).toHaveLength(2);
    const carry = mover(ELSEWHERE);
    const kept = { ...EXCUSE, from: carry(EXCUSE.from), via: carry(EXCUSE.via), to: carry(EXCUSE.to) };
    const check = checkPair(left, right, 1, { right: [kept] });
    expect(check.ok && check.value.stretches).toHaveLength(1);
    expect(check.ok && check.value.maxMm).toBeCloseTo(2, 1);
  });
});
