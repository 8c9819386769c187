import { describe, expect, it } from 'vitest';
import { mover, reflectionAcross } from '../../src/geometry/motion.ts';
import { pathLengthMm } from '../../src/geometry/measure.ts';
import { polylinePath } from '../../src/geometry/path.ts';
import { distanceMm } from '../../src/geometry/point.ts';
import { foldLine } from '../../src/mirror/axis.ts';
import { checkFold } from '../../src/mirror/check-fold.ts';
import {
  chartReachMm,
  laidArrows,
  laidOffsets,
  largestArrow,
  openArrows,
  sampleAt,
  sampleNear,
} from '../../src/ui/fold-check/offsets.ts';

/** 100 x 60 mm about x = 0, with a slanting bite of the right side 3 mm wide, begun at a corner of the right half. */
const OUTLINE = polylinePath(
  [
    { x: 50, y: -30 },
    { x: 50, y: -10 },
    { x: 47, y: 0 },
    { x: 50, y: 10 },
    { x: 50, y: 30 },
    { x: -50, y: 30 },
    { x: -50, y: -30 },
  ],
  true,
);
const AXIS = foldLine({ point: { x: 0, y: 0 }, angleRad: Math.PI / 2 }, 'by-hand');
const LINES = [{ id: 'outer', kind: 'cut', path: OUTLINE }] as const;
const CHECK = checkFold(LINES, AXIS, 2);
const OFFSETS = laidOffsets(CHECK.lines);

describe('the offsets of a folded piece', () => {
  it('run along the left half only, from fold line to fold line, without a break', () => {
    expect(OFFSETS.every(({ from }) => from.x <= 1e-9)).toBe(true);
    expect(OFFSETS.filter(({ isStart }) => isStart)).toHaveLength(1);
    expect(OFFSETS[0]!.alongMm).toBe(0);
    for (let i = 1; i < OFFSETS.length; i++) {
      expect(OFFSETS[i]!.alongMm).toBeGreaterThan(OFFSETS[i - 1]!.alongMm);
    }
    // Half of the upper edge, the left side, half of the lower edge; sampled every half millimetre.
    expect(OFFSETS.at(-1)!.alongMm).toBeGreaterThan(159);
    expect(OFFSETS.at(-1)!.alongMm).toBeLessThanOrEqual(160);
    expect(pathLengthMm(OUTLINE)).toBeGreaterThan(320);
  });

  it('are negative where the folded half falls short, and point from the still edge to the folded one', () => {
    const deepest = OFFSETS.reduce((a, b) => (b.offsetMm < a.offsetMm ? b : a));
    // 3 mm deep over 10 mm: square to the slanting edge it is 3 * 10 / sqrt(109) = 2.8735 mm at most.
    expect(deepest.offsetMm).toBeCloseTo(-30 / Math.sqrt(109), 1);
    expect(deepest.from.x).toBeCloseTo(-50, 6);
    expect(deepest.to.x).toBeGreaterThan(-50);
    for (const { from, to, offsetMm } of OFFSETS)
      expect(distanceMm(from, to)).toBeCloseTo(Math.abs(offsetMm), 6);
    expect(Math.max(...OFFSETS.map(({ offsetMm }) => offsetMm))).toBeLessThan(1e-6);
  });

  it('give one arrow per stretch over the limit, on the left half when folded, on the told half when open', () => {
    const reflect = mover(reflectionAcross(AXIS));
    const [folded, ...none] = laidArrows(CHECK.stretches, reflect);
    const [open] = openArrows(CHECK.stretches, reflect);
    expect(none).toEqual([]);
    expect(folded!.sizeMm).toBeCloseTo(CHECK.maxMm, 9);
    expect(folded!.from.x).toBeLessThan(0);
    expect(folded!.to.x).toBeLessThan(0);
    const told = CHECK.stretches[0]!;
    expect(open!.from).toEqual(told.at);
    expect(Math.sign(open!.to.x)).toBe(Math.sign(told.at.x));
    // Open or folded, it is the same gap.
    expect(distanceMm(open!.to, reflect(told.twinAt))).toBeCloseTo(0, 9);
  });

  it('know the largest of all even when every one keeps the limit', () => {
    const calm = checkFold(LINES, AXIS, 10);
    expect(calm.stretches).toEqual([]);
    expect(largestArrow(laidOffsets(calm.lines))!.sizeMm).toBeCloseTo(30 / Math.sqrt(109), 1);
    expect(largestArrow([])).toBeUndefined();
  });

  it('are found by way along the edge and by place on the table', () => {
    for (const index of [0, 17, 100, OFFSETS.length - 1]) {
      expect(sampleAt(OFFSETS, OFFSETS[index]!.alongMm + 0.01)).toBe(index);
      expect(sampleNear(OFFSETS, OFFSETS[index]!.from, 1)).toBe(index);
    }
    expect(sampleAt(OFFSETS, -1e9)).toBe(0);
    expect(sampleAt(OFFSETS, 1e9)).toBe(OFFSETS.length - 1);
    expect(sampleNear(OFFSETS, { x: 0, y: 0 }, 8)).toBeUndefined();
  });

  it('of a hole on each side are run through as a stretch of their own', () => {
    const hole = (x: number) =>
      polylinePath(
        [
          { x: x - 5, y: -5 },
          { x: x - 5, y: 5 },
          { x: x + 5, y: 5 },
          { x: x + 5, y: -5 },
        ],
        true,
      );
    const check = checkFold(
      [...LINES, { id: 'a', kind: 'cutout', path: hole(25) }, { id: 'b', kind: 'cutout', path: hole(-25) }],
      AXIS,
      2,
    );
    const offsets = laidOffsets(check.lines);
    expect(offsets.filter(({ isStart }) => isStart)).toHaveLength(2);
    expect(offsets.at(-1)!.alongMm).toBeGreaterThan(195);
  });

  it('fit a chart whose edge is a round figure above both the limit and the largest', () => {
    expect(chartReachMm([], 2)).toBe(3);
    expect(chartReachMm(OFFSETS, 2)).toBe(4);
    expect(chartReachMm([], 0.1)).toBeCloseTo(0.15, 9);
  });
});
