import { describe, expect, it } from 'vitest';
import type { PieceLine } from '../../src/geometry/line-kinds.ts';
import type { Path } from '../../src/geometry/path.ts';
import { pathFaults } from '../../src/geometry/path-faults.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import type { MendMode } from '../../src/mirror/mend.ts';
import { mendStretch } from '../../src/refit/mend-stretch.ts';
import { point } from '../geometry/drawn.ts';
import { CROWN, EYES, VISOR, withBumps } from '../mirror/outlines.ts';

const UPRIGHT = { point: point(0, 0), angleRad: Math.PI / 2, rule: 'free' } as const;
const cut = (path: Path): PieceLine[] => [{ id: 'outline', kind: 'cut', path }];

function mended(lines: readonly PieceLine[], mode: MendMode, number = 0) {
  const check = checkFold(lines, UPRIGHT, 1);
  const result = mendStretch(lines, UPRIGHT, mode, check.stretches[number]!);
  if (!result.ok) throw new Error(result.problem.message);
  return { before: check, result: result.value, after: checkFold(result.value.lines, UPRIGHT, 1) };
}

describe('mending one stretch', () => {
  const { path, middles } = withBumps(VISOR, [
    { near: point(90, 60), heightMm: 4, widthMm: 30 },
    { near: point(-110, -50), heightMm: 2, widthMm: 25 },
  ]);

  it('evens that stretch and leaves the other one as it was, to the last figure', () => {
    const { before, result, after } = mended(cut(path), 'keep-left');
    expect(before.stretches).toHaveLength(2);
    expect(after.stretches).toHaveLength(1);
    expect(Math.hypot(after.maxAt.x - middles[1]!.x, after.maxAt.y - middles[1]!.y)).toBeLessThan(5);
    expect(after.maxMm).toBeCloseTo(before.stretches[1]!.peakMm, 2);
    expect(result.maxMm).toBeCloseTo(4, 1);
    expect(Math.hypot(result.maxAt.x - middles[0]!.x, result.maxAt.y - middles[0]!.y)).toBeLessThan(5);
    const old = new Set(path.segments.map(({ to }) => `${to.x} ${to.y}`));
    const kept = result.lines[0]!.path.segments.filter(({ to }) => old.has(`${to.x} ${to.y}`));
    expect(kept.length).toBeGreaterThan(0.85 * path.segments.length);
  });

  it('takes the change to the half that is not kept, and half of it to either when averaged', () => {
    const heights = (['keep-left', 'keep-right', 'average'] as const).map(
      (mode) => mended(cut(path), mode).result.maxMm,
    );
    expect(heights[0]).toBeCloseTo(4, 1);
    expect(heights[1]).toBeCloseTo(4, 1);
    expect(heights[2]).toBeCloseTo(2, 1);
    for (const mode of ['keep-right', 'average'] as const) {
      expect(mended(cut(path), mode).after.stretches).toHaveLength(1);
    }
  });

  it('keeps corners corners and the edge free of kinks where the stretch ends', () => {
    const bumped = withBumps(CROWN, [{ near: point(120, 66), heightMm: 3, widthMm: 24 }]).path;
    const { result, after } = mended(cut(bumped), 'keep-left');
    expect(after.stretches).toEqual([]);
    const mendedPath = result.lines[0]!.path;
    expect(pathFaults(mendedPath).filter(({ code }) => code === 'crosses-itself')).toEqual([]);
    for (const { x, y } of CROWN.segments.map(({ to }) => to)) {
      const gaps = mendedPath.segments.map(({ to }) => Math.hypot(to.x - x, to.y - y));
      expect(Math.min(...gaps)).toBeLessThan(0.2);
    }
  });

  it('crosses the axis smoothly when the stretch lies at it', () => {
    const bumped = withBumps(VISOR, [{ near: point(14, 68), heightMm: 3, widthMm: 24 }]).path;
    const { result, after } = mended(cut(bumped), 'keep-left');
    expect(after.maxMm).toBeLessThan(0.5);
    expect(pathFaults(result.lines[0]!.path).filter(({ code }) => code === 'crosses-itself')).toEqual([]);
  });

  it('mends one opening of a pair and leaves the outline alone', () => {
    const wide = withBumps(EYES[1]!, [{ near: point(60, 20), heightMm: 2, widthMm: 14 }]).path;
    const lines: PieceLine[] = [
      ...cut(path),
      { id: 'left eye', kind: 'cutout', path: EYES[0]! },
      { id: 'right eye', kind: 'cutout', path: wide },
    ];
    const number = checkFold(lines, UPRIGHT, 1).stretches.findIndex(({ lineId }) => lineId.endsWith('eye'));
    const { result, after } = mended(lines, 'keep-left', number);
    expect(result.lines[0]!.path).toBe(path);
    expect(after.stretches.filter(({ lineId }) => lineId.endsWith('eye'))).toEqual([]);
  });
});
